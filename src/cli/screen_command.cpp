#include <fmt/format.h>
#include <CLI/CLI.hpp>
#include <charconv>
#include <cstddef>
#include <ostream>
#include <string>
#include <vector>

#include "eaveshed/cli/commands.hpp"
#include "eaveshed/cli/common_words.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/run/screen.hpp"
#include "eaveshed/run/split.hpp"
#include "eaveshed/summary/page.hpp"
#include "eaveshed/words/safe_output.hpp"
#include "eaveshed/words/wording.hpp"
#include "run_words.hpp"

namespace eaveshed {

namespace {

struct ScreenWords {
    std::string project;
    ScreenOptions options;
    RunWords run;
    std::vector<std::string> part;  // folder and number
    std::string part_project;
    CommonWords common;
};

// The command that goes on where this one was stopped.
std::string command_to_resume(const ScreenWords& words) {
    const ScreenOptions& options = words.options;
    std::string command = "eaveshed screen " + shell_word(words.project);
    if (!options.output.empty()) {
        command += " -o " + shell_word(options.output);
    }
    if (words.run.threads > 0) {
        command += fmt::format(" --threads {}", words.run.threads);
    }
    if (words.run.memory_mib != kDefaultMemoryMib) {
        command += fmt::format(" --memory {}", words.run.memory_mib);
    }
    command += options.overwrite ? " --overwrite" : "";
    command += options.strict ? " --strict" : "";
    command += network_words(words.common);
    return command + " --resume";
}

int run_screen(const ScreenWords& words, std::ostream& out) {
    RunLog log(words.common.log);
    Findings findings;
    std::size_t shown = 0;
    set_words_when_stopped("nothing half-written stands under the output's name. To go on from here:\n  " +
                           command_to_resume(words));
    try {
        log.event("screen begins");
        allow_network(words.common);
        const Project project = load_project(words.project, findings);
        ScreenOptions options = words.options;
        options.threads = words.run.thread_count();
        options.memory_mib = words.run.memory_mib;
        Progress progress(words.common.progress_style());
        options.before_work = [&](const Findings& so_far) {
            if (!words.common.quiet) {
                show_findings(so_far, false);
                shown = so_far.list().size();
            }
        };
        const ScreenResult result = screen(project, options, findings, progress);
        if (!words.common.quiet) {
            show_findings(findings, false, shown);
        }
        if (result.stood_before && !words.common.quiet) {
            tell("{} is the finished result of these settings and inputs: nothing to do\n", printable(result.output));
        }
        Findings reading;  // of a file that was just written: nothing worth telling
        out << page_of(result.output, false, reading);
        for (const Finding& finding : findings.list()) {
            log.finding(finding);
        }
        tell_network_use(words.common, log);
        log.event("screen is done: " + result.output);
        return log.exit_code();
    } catch (const Stopped&) {
        log.event("screen was stopped");
        throw;
    } catch (const Error& error) {
        show_findings(findings, false, shown);
        for (const Finding& finding : findings.list()) {
            log.finding(finding);
        }
        log.failure(error);
        if (error.fault() == Fault::passing) {
            tell("tiles that are done are kept. To go on when the trouble is over:\n  {}\n", command_to_resume(words));
        }
        throw;
    }
}

std::uint64_t part_number(const std::string& text) {
    std::uint64_t number = 0;
    const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (fault != std::errc{} || end != text.data() + text.size()) {
        throw input_error("--part", printable(text), "the folder of a plan and the number of a part",
                          "eaveshed screen --part DIR K, with K from 1");
    }
    return number;
}

int run_part(const ScreenWords& words, std::ostream& out) {
    return run_logged(words.common, "screen --part", [&](Findings& /*told by split*/) {
        Progress progress(words.common.progress_style());
        const PartResult result = screen_part({.folder = words.part.front(),
                                               .part = part_number(words.part.back()),
                                               .project = words.part_project,
                                               .threads = words.run.thread_count(),
                                               .memory_mib = words.run.memory_mib},
                                              progress);
        out << "part " << words.part.back() << (result.stood_before ? " was done before: " : " is done: ")
            << printable(result.rows) << '\n';
    });
}

int run_screen_words(const ScreenWords& words, std::ostream& out) {
    if (words.part.empty() == words.project.empty()) {
        throw input_error("screen", words.part.empty() ? "no project file" : "a project file, and a part of a plan",
                          "eaveshed screen PROJECT.toml, or eaveshed screen --part DIR K",
                          "see eaveshed screen --help");
    }
    return words.part.empty() ? run_screen(words, out) : run_part(words, out);
}

}  // namespace

void add_screen_command(CLI::App& program, std::ostream& out, Job& job) {
    const auto words = std::make_shared<ScreenWords>();
    CLI::App& command = *program.add_subcommand("screen", "Screen every roof of the basin and write a GeoPackage");
    command.footer(
        "\nExamples\n"
        "  eaveshed screen basin.toml\n"
        "  eaveshed screen basin.toml --resume     go on with a run that was stopped\n"
        "  eaveshed screen --part plan 3           part 3 of a plan that `eaveshed split` made\n");
    CLI::Option* const project =
        command.add_option("project", words->project, "The project file")->type_name("PROJECT.toml");
    command.add_option("-o,--output", words->options.output, "The GeoPackage to write, instead of basin.output")
        ->type_name("OUT.gpkg");
    add_run_words(command, words->run);
    command.add_flag("--overwrite", words->options.overwrite, "Replace an existing output when the run is done");
    command.add_flag("--resume", words->options.resume,
                     "Take up a run of the same settings and inputs that was stopped: its finished tiles are kept in "
                     "OUT.gpkg.work");
    command.add_flag("--strict", words->options.strict, "Stop on warnings, and fingerprint whole input files");
    CLI::Option* const part =
        command.add_option("--part", words->part, "Compute one part of a plan in parts instead: its folder and number")
            ->type_name("DIR K")
            ->expected(2)
            ->excludes(project);
    for (const char* const of_whole : {"--output", "--overwrite", "--resume", "--strict"}) {
        part->excludes(command.get_option(of_whole));
    }
    add_plan_project_word(command, words->part_project);
    command.get_option("--project")->needs(part);
    add_common_words(command, words->common);
    command.callback([words, &out, &job] { job = [words, &out] { return run_screen_words(*words, out); }; });
}

}  // namespace eaveshed
