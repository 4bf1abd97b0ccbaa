#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <ostream>

#include "eaveshed/cli/commands.hpp"
#include "eaveshed/cli/common_words.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/explain/explain.hpp"
#include "eaveshed/words/safe_output.hpp"

namespace eaveshed {

namespace {

struct ExplainWords {
    ExplainRequest request;
    bool json = false;
    CommonWords common;
};

// The explanation is out; that the row is another one than stored is the command's failure.
int outcome_of(const Explained& explained, RunLog& log) {
    if (!explained.differences.empty()) {
        const Error error(Fault::working, trouble_of(explained));
        log.failure(error);
        tell("error: {}\n", error.what());
        return error.exit_code();
    }
    log.event("explain is done");
    return 0;
}

int run_explain(const ExplainWords& words, std::ostream& out) {
    RunLog log(words.common.log);
    Findings findings;
    const auto tell = [&] {
        if (!words.common.quiet) {
            show_findings(findings, false);
        }
        for (const Finding& finding : findings.list()) {
            log.finding(finding);
        }
    };
    try {
        if (words.request.roof_id.empty() && words.request.parcel_id.empty()) {
            throw input_error("explain", "neither a roof nor a parcel", "--roof ID or --parcel ID", "name the row");
        }
        log.event("explain begins");
        allow_network(words.common);
        Progress progress(words.common.progress_style());
        const auto print = [&](const auto& explained) {
            tell();
            tell_network_use(words.common, log);
            const OutputUnits units = words.json ? OutputUnits::si : explained.run.project.settings.output.units;
            const Document document = explanation_document(explained, units);
            out << (words.json ? document_json(document) : document_text(document)) << std::flush;
            return outcome_of(explained, log);
        };
        return words.request.parcel_id.empty() ? print(explain(words.request, findings, progress))
                                               : print(explain_parcel(words.request, findings, progress));
    } catch (const Error& error) {
        tell();
        log.failure(error);
        throw;
    }
}

}  // namespace

void add_explain_command(CLI::App& program, std::ostream& out, Job& job) {
    const auto words = std::make_shared<ExplainWords>();
    CLI::App& command = *program.add_subcommand(
        "explain", "Every step, number and setting behind one row, recomputed from the inputs and compared");
    command.add_option("file", words->request.file, "A GeoPackage that was screened")
        ->required()
        ->type_name("OUT.gpkg");
    CLI::Option* const roof = command.add_option("--roof", words->request.roof_id, "A roof, by its roof_id");
    CLI::Option* const parcel = command.add_option("--parcel", words->request.parcel_id, "A parcel, by its parcel_id");
    roof->type_name("ID")->excludes(parcel);
    parcel->type_name("ID");
    add_project_word(command, words->request.project, "paths count from there");
    command.add_flag("--json", words->json, "Print the explanation as JSON");
    add_common_words(command, words->common);
    command.callback([words, &out, &job] { job = [words, &out] { return run_explain(*words, out); }; });
}

}  // namespace eaveshed
