#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>
#include <ostream>

#include "check_new.hpp"
#include "eaveshed/cli/commands.hpp"
#include "eaveshed/cli/common_words.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/run/check.hpp"

namespace eaveshed {

namespace {

struct CheckWords {
    std::string project;
    DraftWords draft;
    bool strict = false;
    bool json = false;
    CommonWords common;
};

nlohmann::ordered_json json_of(const UnderstoodInput& input) {
    nlohmann::ordered_json json{{"input", input.input}, {"is", input.is}};
    if (!input.crs.empty()) {
        const Box& box = input.extent;
        json["files"] = input.files;
        json["crs"] = input.crs;
        json["extent"] = box.empty() ? nlohmann::ordered_json(nullptr)
                                     : nlohmann::ordered_json({box.x_min, box.y_min, box.x_max, box.y_max});
    }
    for (const ShownRow& row : input.rows) {
        nlohmann::ordered_json fields;
        for (const auto& [field, value] : row) {
            fields[field] = value;
        }
        json["rows"].push_back(fields);
    }
    return json;
}

nlohmann::ordered_json json_of(const CheckReport& report, const Findings& findings) {
    nlohmann::ordered_json json;
    for (const UnderstoodInput& input : report.understood) {
        json["understood"].push_back(json_of(input));
    }
    json["rests_on"] = nlohmann::ordered_json::array();
    for (const AssumedRoofs& row : report.basis ? report.basis->assumed : std::vector<AssumedRoofs>{}) {
        json["rests_on"].push_back({{"assumption", row.assumption->key},
                                    {"flag", to_text(row.assumption->flag)},
                                    {"what", row.assumption->what},
                                    {"roofs", row.roofs},
                                    {"at_most", row.at_most},
                                    {"instead", row.assumption->instead}});
    }
    json["mean_year_rain_mm"] = report.mean_year_mm ? nlohmann::ordered_json(*report.mean_year_mm) : nullptr;
    json["findings"] = nlohmann::ordered_json::array();
    for (const Finding& finding : findings.list()) {
        json["findings"].push_back({{"severity", severity_name(finding.severity)},
                                    {"code", finding.code ? nlohmann::ordered_json(to_text(*finding.code)) : nullptr},
                                    {"where", finding.trouble.where},
                                    {"found", finding.trouble.found},
                                    {"wanted", finding.trouble.wanted},
                                    {"remedy", finding.trouble.remedy}});
    }
    json["estimate"] = {{"roofs", report.estimate.roofs},
                        {"tiles", report.estimate.tiles},
                        {"memory_mib", report.estimate.memory_mib},
                        {"disk_mib", report.estimate.disk_mib},
                        {"seconds", report.estimate.seconds}};
    return json;
}

int run_check(const CheckWords& words, std::ostream& out, RunLog& log) {
    Findings findings;
    const Project project = load_project(words.project, findings);
    const CheckReport report = check(project, findings);
    for (const Finding& finding : findings.list()) {
        log.finding(finding);
    }
    if (words.json) {
        out << json_of(report, findings).dump(2, ' ', false, nlohmann::json::error_handler_t::replace) << '\n';
    } else {
        out << report_text(project, report, findings);
    }
    const bool sound =
        findings.count(Severity::error) == 0 && (!words.strict || findings.count(Severity::warning) == 0);
    return sound ? 0 : static_cast<int>(Fault::input);
}

// Findings stand in the report: they are not told again on standard error, as run_logged would.
int run_check_logged(const CheckWords& words, std::ostream& out) {
    RunLog log(words.common.log);
    try {
        log.event("check begins");
        allow_network(words.common);
        const int code = run_check(words, out, log);
        tell_network_use(words.common, log);
        log.event("check is done");
        return code;
    } catch (const Error& error) {
        log.failure(error);
        throw;
    }
}

int run_check_words(const CheckWords& words, std::ostream& out) {
    const bool draft = !words.draft.files.empty();
    if (draft != words.project.empty()) {
        throw input_error("check", draft ? "a project file, and files to draft one from" : "no project file",
                          "eaveshed check PROJECT.toml, or eaveshed check --new FILE... -o PROJECT.toml",
                          "see eaveshed check --help");
    }
    if (!draft) {
        return run_check_logged(words, out);
    }
    return run_logged(words.common, "check --new",
                      [&](Findings& findings) { draft_new_project(words.draft, out, findings); });
}

}  // namespace

void add_check_command(CLI::App& program, std::ostream& out, Job& job) {
    const auto words = std::make_shared<CheckWords>();
    CLI::App& command = *program.add_subcommand(
        "check", "Look at a project's inputs and settings, or draft a project from files; computes nothing");
    command.footer(
        "\nExamples\n"
        "  eaveshed check basin.toml\n"
        "  eaveshed check --new buildings.gpkg dem.tif rain.nc -o basin.toml\n"
        "  eaveshed check --new my_data -o basin.toml       (every file of a folder)\n"
        "\nWith --new nothing but the project file is written, and nothing is replaced. Every guess in it says why it\n"
        "was made; what was not sure enough stands behind a #.\n");
    command.add_option("project", words->project, "The project file")->type_name("PROJECT.toml");
    CLI::Option* const drafted =
        command.add_option("--new", words->draft.files, "Draft a project file from these files, or from a folder's")
            ->type_name("FILE");
    command.add_option("-o,--output", words->draft.output, "The project file to write; without it, standard output")
        ->type_name("PROJECT.toml")
        ->needs(drafted);
    command.add_flag("--strict", words->strict, "Count warnings as errors")->excludes(drafted);
    command.add_flag("--json", words->json, "Print the report as JSON")->excludes(drafted);
    add_common_words(command, words->common);
    command.callback([words, &out, &job] { job = [words, &out] { return run_check_words(*words, out); }; });
}

}  // namespace eaveshed
