#include <CLI/CLI.hpp>
#include <algorithm>
#include <nlohmann/json.hpp>
#include <ostream>

#include "eaveshed/cli/commands.hpp"
#include "eaveshed/cli/common_words.hpp"
#include "eaveshed/parts/plan_folder.hpp"
#include "eaveshed/run/split.hpp"
#include "eaveshed/words/wording.hpp"
#include "run_words.hpp"

namespace eaveshed {

namespace {

struct SplitWords {
    std::string project;
    SplitOptions options;
    RunWords run;
    bool json = false;
    CommonWords common;
};

// What a scheduler asks of all parts together.
struct OfAllParts {
    std::uint64_t most_seconds = 0;
    std::uint64_t most_memory_mib = 0;
    std::uint64_t seconds = 0;
};

OfAllParts of_all(const PlanFacts& facts) {
    OfAllParts all;
    for (const PartOfPlan& part : facts.parts) {
        all.most_seconds = std::max(all.most_seconds, part.seconds);
        all.most_memory_mib = std::max(all.most_memory_mib, part.memory_mib);
        all.seconds += part.seconds;
    }
    return all;
}

nlohmann::ordered_json json_of(const PlanInParts& plan) {
    const PlanFacts& facts = plan.facts();
    const OfAllParts all = of_all(facts);
    return {{"folder", plan.folder.string()},         {"parts", facts.parts.size()},
            {"missing", missing_parts(plan)},         {"roofs", facts.rows.roofs},
            {"parcels", facts.rows.parcels},          {"part_seconds", all.most_seconds},
            {"part_memory_mib", all.most_memory_mib}, {"seconds", all.seconds},
            {"gather_seconds", facts.gather_seconds}, {"gather_memory_mib", facts.gather_memory_mib}};
}

void print_plan(const PlanInParts& plan, const std::string& network, std::ostream& out) {
    const PlanFacts& facts = plan.facts();
    const OfAllParts all = of_all(facts);
    const std::string folder = shell_word(plan.folder.string());
    const std::vector<std::uint64_t> missing = missing_parts(plan);
    out << fmt::format("{} with {} and {}\n", counted(facts.parts.size(), "part"), counted(facts.rows.roofs, "roof"),
                       counted(facts.rows.parcels, "parcel"))
        << fmt::format("  a part takes at most about {} s on one thread and {} MiB; all together {} s\n",
                       all.most_seconds, all.most_memory_mib, all.seconds)
        << fmt::format("  gather takes about {} s and {} MiB\n", facts.gather_seconds, facts.gather_memory_mib)
        << (missing.empty()
                ? std::string("  every part is done\n")
                : fmt::format("  {} of {} to be done: {}\n", missing.size(), facts.parts.size(), ranges_text(missing)))
        << fmt::format(
               "each part, in any order, on any host that sees folder and inputs:\n"
               "  eaveshed screen --part {} K{}        (K from 1 to {})\n"
               "then:\n  eaveshed gather {} -o OUT.gpkg{}\n",
               folder, network, facts.parts.size(), folder, network);
}

int run_split(const SplitWords& words, std::ostream& out) {
    return run_logged(words.common, "split", [&](Findings& findings) {
        const auto print = [&](const PlanInParts& plan) {
            words.json ? out << json_of(plan).dump(2, ' ', false, nlohmann::json::error_handler_t::replace) << '\n'
                       : (print_plan(plan, network_words(words.common), out), out);
        };
        if (words.project.empty()) {
            print(plan_in_parts(words.options.folder));
            return;
        }
        const Project project = load_project(words.project, findings);
        SplitOptions options = words.options;
        options.threads = words.run.thread_count();
        options.memory_mib = words.run.memory_mib;
        Progress progress(words.common.progress_style());
        print(split(project, options, findings, progress));
    });
}

}  // namespace

void add_split_command(CLI::App& program, std::ostream& out, Job& job) {
    constexpr std::size_t kMostParts = 1'000'000;
    const auto words = std::make_shared<SplitWords>();
    CLI::App& command = *program.add_subcommand("split", "Plan a screening in parts, to be computed on many machines");
    command.footer(
        "\nExamples\n"
        "  eaveshed split basin.toml --parts 16 -o plan\n"
        "  eaveshed screen --part plan 1           (and 2 to 16: in any order, on any host)\n"
        "  eaveshed gather plan -o basin.gpkg\n"
        "  eaveshed split -o plan                  what stands in the folder, and which parts are missing\n"
        "\nThe result is that of `eaveshed screen basin.toml`, to the byte. docs/scale.md tells what the folder holds\n"
        "and how a scheduler runs it.\n");
    command.add_option("project", words->project, "The project file; without it the plan that stands is told")
        ->type_name("PROJECT.toml");
    command.add_option("--parts", words->options.parts, "How many parts")
        ->type_name("N")
        ->check(CLI::Range(std::size_t{1}, kMostParts));
    command.add_option("-o,--output", words->options.folder, "The folder of the plan")->required()->type_name("DIR");
    command.add_flag("--overwrite", words->options.overwrite, "Replace a plan that stands there, and its parts' rows");
    command.add_flag("--strict", words->options.strict, "Stop on warnings, and fingerprint whole input files");
    command.add_flag("--json", words->json, "Print the plan's figures as JSON");
    add_run_words(command, words->run);
    add_common_words(command, words->common);
    command.callback([words, &out, &job] { job = [words, &out] { return run_split(*words, out); }; });
}

}  // namespace eaveshed
