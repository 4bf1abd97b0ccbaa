#include "eaveshed/cli/common_words.hpp"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <map>

#include "eaveshed/core/error.hpp"
#include "eaveshed/network/address.hpp"
#include "eaveshed/network/remote_file.hpp"
#include "eaveshed/run/check.hpp"
#include "eaveshed/words/safe_output.hpp"
#include "eaveshed/words/wording.hpp"

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
    command
        .add_option("--allow-network", words.hosts,
                    "Let inputs be read from this host, whose addresses the project names; without it nothing is read "
                    "over the network. May be given several times")
        ->type_name("HOST")
        ->allow_extra_args(false);
}

void allow_network(const CommonWords& words) {
    for (const std::string& host : words.hosts) {
        allow_host(host);
    }
}

std::string network_words(const CommonWords& words) {
    std::string text;
    for (const std::string& host : words.hosts) {
        text += " --allow-network " + shell_word(host);
    }
    return text;
}

void tell_network_use(const CommonWords& words, RunLog& log) {
    constexpr double kMiB = 1024.0 * 1024.0;
    const NetworkUse use = network_use();
    if (use.requests == 0) {
        return;
    }
    const std::string text = fmt::format("read over the network: {:.1f} MiB in {}",
                                         static_cast<double>(use.bytes) / kMiB, counted(use.requests, "request"));
    log.event(text);
    if (!words.quiet) {
        tell("{}\n", text);
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
        allow_network(words);
        work(findings);
        tell();
        tell_network_use(words, log);
        log.event(command + " is done");
        return log.exit_code();
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
