#include <CLI/CLI.hpp>
#include <ostream>

#include "eaveshed/cli/commands.hpp"
#include "eaveshed/cli/common_words.hpp"
#include "eaveshed/summary/page.hpp"

namespace eaveshed {

namespace {

struct SummaryWords {
    std::string file;
    bool json = false;
    CommonWords common;
};

}  // namespace

void add_summary_command(CLI::App& program, std::ostream& out, Job& job) {
    const auto words = std::make_shared<SummaryWords>();
    CLI::App& command = *program.add_subcommand(
        "summary", "Whom to call first, what the creek would feel, what that rests on: the page of a finished file");
    command.add_option("file", words->file, "A GeoPackage that was screened")->required()->type_name("OUT.gpkg");
    command.add_flag("--json", words->json, "Print the same facts as JSON");
    add_common_words(command, words->common);
    command.callback([words, &out, &job] {
        job = [words, &out] {
            return run_logged(words->common, "summary",
                              [&](Findings& findings) { out << page_of(words->file, words->json, findings); });
        };
    });
}

}  // namespace eaveshed
