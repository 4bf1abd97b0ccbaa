#include <CLI/CLI.hpp>
#include <ostream>

#include "eaveshed/cli/commands.hpp"
#include "eaveshed/cli/common_words.hpp"
#include "eaveshed/compare/compare.hpp"

namespace eaveshed {

namespace {

struct CompareWords {
    CompareRequest request;
    CommonWords common;
};

}  // namespace

void add_compare_command(CLI::App& program, std::ostream& out, Job& job) {
    const auto words = std::make_shared<CompareWords>();
    CompareRequest& request = words->request;
    CLI::App& command = *program.add_subcommand(
        "compare", "What changed between two screenings, and which settings, inputs and measured values differ");
    command.add_option("before", request.before, "A GeoPackage that was screened")->required()->type_name("A.gpkg");
    command.add_option("after", request.after, "The GeoPackage of a later screening")->required()->type_name("B.gpkg");
    command.add_option("--csv", request.lists.csv, "Write every row that changed as comma-separated text")
        ->type_name("FILE");
    command.add_flag("--overwrite", request.lists.overwrite, "Replace a list that exists");
    command.add_flag("--json", request.json, "Print all of it as JSON, every row that changed included");
    add_common_words(command, words->common);
    command.callback([words, &out, &job] {
        job = [words, &out] {
            return run_logged(words->common, "compare",
                              [&](Findings& findings) { compare_screenings(words->request, out, findings); });
        };
    });
}

}  // namespace eaveshed
