#include "eaveshed/cli/common_words.hpp"

#include <fmt/chrono.h>
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <chrono>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>

#include "eaveshed/core/error.hpp"
#include "eaveshed/outside/environment.hpp"
#include "eaveshed/run/check.hpp"
#include "eaveshed/words/safe_output.hpp"

namespace eaveshed {

void add_common_words(CLI::App& command, CommonWords& words) {
    static const std::map<std::string, ProgressStyle> kStyles{{"auto", ProgressStyle::automatic},
                                                              {"bar", ProgressStyle::bar},
                                                              {"lines", ProgressStyle::lines},
                                                              {"none", ProgressStyle::none}};
    command
        .add_option_function<std::string>(
            "--progress", [&words](const std::string& style) { words.progress = kStyles.at(style); },
            "How to show progress on standard error: auto, bar, lines or none")
        ->type_name("STYLE")
        ->check(CLI::IsMember(kStyles));
    command.add_option("--log", words.log, "Write a log, one JSON object a line")->type_name("FILE");
    command.add_flag("--quiet", words.quiet, "Only errors on standard error");
}

struct RunLog::Impl {
    std::ofstream file;
    void write(nlohmann::ordered_json line) {
        const auto now = std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now());
        nlohmann::ordered_json stamped{{"time", fmt::format("{:%Y-%m-%dT%H:%M:%SZ}", fmt::gmtime(now))}};
        stamped.update(line);
        file << without_controls(stamped.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace)) << '\n'
             << std::flush;
    }
};

RunLog::RunLog(const std::string& file) {
    if (file.empty()) {
        return;
    }
    m_impl = std::make_unique<Impl>();
    m_impl->file.open(file, std::ios::app);
    if (!m_impl->file) {
        throw input_error("--log " + file, "a file that cannot be written", "", "check the folder and its permissions");
    }
    if (!removed_variables().empty()) {
        m_impl->write(
            {{"level", "info"}, {"event", "environment variables not heard"}, {"names", removed_variables()}});
    }
}

RunLog::~RunLog() = default;

namespace {

nlohmann::ordered_json json_of(const std::string& level, const Trouble& trouble) {
    return {{"level", level},         {"event", "finding"},       {"where", trouble.where},
            {"found", trouble.found}, {"wanted", trouble.wanted}, {"remedy", trouble.remedy}};
}

}  // namespace

void RunLog::event(const std::string& what) {
    if (m_impl) {
        m_impl->write({{"level", "info"}, {"event", what}});
    }
}

void RunLog::finding(const Finding& finding) {
    if (m_impl) {
        auto line = json_of(severity_name(finding.severity), finding.trouble);
        if (finding.code) {
            line["code"] = to_text(*finding.code);
        }
        m_impl->write(line);
    }
}

void RunLog::failure(const Error& error) {
    if (m_impl) {
        auto line = json_of("error", error.trouble());
        line["event"] = "failure";
        line["exit_code"] = error.exit_code();
        m_impl->write(line);
    }
}

void show_findings(const Findings& findings, bool notes, std::size_t first) {
    for (std::size_t i = first; i < findings.list().size(); ++i) {
        const Finding& finding = findings.list()[i];
        if (finding.severity == Severity::warning || (finding.severity == Severity::note && notes)) {
            tell("{}\n", finding_line(finding));
        }
    }
}

int run_logged(const CommonWords& words, const std::string& command, const std::function<void(Findings&)>& work) {
    RunLog log(words.log);
    Findings findings;
    const auto tell = [&] {
        if (!words.quiet) {
            show_findings(findings, false);
        }
        for (const Finding& finding : findings.list()) {
            log.finding(finding);
        }
    };
    try {
        log.event(command + " begins");
        work(findings);
        tell();
        log.event(command + " is done");
        return 0;
    } catch (const Stopped&) {
        log.event(command + " was stopped");
        throw;
    } catch (const Error& error) {
        tell();
        log.failure(error);
        throw;
    }
}

void add_list_words(CLI::App& command, ListFiles& files) {
    command.add_option("--csv", files.csv, "Write the list, with the contact fields, as comma-separated text")
        ->type_name("FILE");
    command.add_option("--xlsx", files.xlsx, "Write it as a spreadsheet")->type_name("FILE");
    command.add_flag("--overwrite", files.overwrite, "Replace a list that exists");
}

void add_reach_words(CLI::App& command, AskedReaches& reaches) {
    command
        .add_option("--reach", reaches.reach,
                    "Only parcels whose offers enter this reach (its reach_id) or a reach upstream of it")
        ->type_name("ID");
    command
        .add_option("--creek", reaches.creek,
                    "Only parcels whose offers enter a reach of this name; with --reach both must hold")
        ->type_name("NAME");
}

void add_project_word(CLI::App& command, std::string& project, const std::string& what_for) {
    command
        .add_option("--project", project,
                    "The project file that was screened, or its folder, where the GeoPackage does not lie beside it: " +
                        what_for)
        ->type_name("PROJECT.toml");
}

}  // namespace eaveshed
