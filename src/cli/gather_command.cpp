#include <CLI/CLI.hpp>
#include <ostream>

#include "eaveshed/cli/commands.hpp"
#include "eaveshed/cli/common_words.hpp"
#include "eaveshed/run/split.hpp"
#include "eaveshed/summary/page.hpp"
#include "run_words.hpp"

namespace eaveshed {

namespace {

struct GatherWords {
    GatherOptions options;
    RunWords run;
    CommonWords common;
};

int run_gather(const GatherWords& words, std::ostream& out) {
    return run_logged(words.common, "gather", [&](Findings& findings) {
        GatherOptions options = words.options;
        options.threads = words.run.thread_count();
        options.memory_mib = words.run.memory_mib;
        Progress progress(words.common.progress_style());
        const GatherResult result = gather_parts(options, findings, progress);
        Findings reading;  // of a file that was just written: nothing worth telling
        out << page_of(result.output, false, reading);
    });
}

}  // namespace

void add_gather_command(CLI::App& program, std::ostream& out, Job& job) {
    const auto words = std::make_shared<GatherWords>();
    CLI::App& command = *program.add_subcommand("gather", "Write the GeoPackage of a screening in parts");
    command.footer(
        "\nExample\n"
        "  eaveshed gather plan -o basin.gpkg\n"
        "\nEvery part has to be there; those that are not are named. The folder of the plan stays as it is.\n");
    command.add_option("plan", words->options.folder, "The folder that split made")->required()->type_name("DIR");
    command.add_option("-o,--output", words->options.output, "The GeoPackage to write, instead of basin.output")
        ->type_name("OUT.gpkg");
    command.add_flag("--overwrite", words->options.overwrite, "Replace an existing output when it is written");
    add_plan_project_word(command, words->options.project);
    add_run_words(command, words->run);
    add_common_words(command, words->common);
    command.callback([words, &out, &job] { job = [words, &out] { return run_gather(*words, out); }; });
}

}  // namespace eaveshed
