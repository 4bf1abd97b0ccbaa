#include <fmt/format.h>
#include <CLI/CLI.hpp>
#include <cstddef>
#include <ostream>
#include <thread>

#include "eaveshed/cli/commands.hpp"
#include "eaveshed/cli/common_words.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/run/screen.hpp"
#include "eaveshed/summary/page.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

struct ScreenWords {
    std::string project;
    ScreenOptions options;
    unsigned threads = 0;  // 0: one for each core
    CommonWords common;
};

// The command that goes on where this one was stopped.
std::string command_to_resume(const ScreenWords& words) {
    const ScreenOptions& options = words.options;
    std::string command = "eaveshed screen " + shell_word(words.project);
    if (!options.output.empty()) {
        command += " -o " + shell_word(options.output);
    }
    if (words.threads > 0) {
        command += fmt::format(" --threads {}", words.threads);
    }
    if (options.memory_mib != kDefaultMemoryMib) {
        command += fmt::format(" --memory {}", options.memory_mib);
    }
    command += options.overwrite ? " --overwrite" : "";
    command += options.strict ? " --strict" : "";
    return command + " --resume";
}

int run_screen(const ScreenWords& words, std::ostream& out) {
    RunLog log(words.common.log);
    Findings findings;
    std::size_t shown = 0;
    try {
        log.event("screen begins");
        const Project project = load_project(words.project, findings);
        ScreenOptions options = words.options;
        options.threads = words.threads > 0 ? words.threads : std::max(1U, std::thread::hardware_concurrency());
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
            fmt::print(stderr, "{} is the finished result of these settings and inputs: nothing to do\n",
                       printable(result.output));
        }
        Findings reading;  // of a file that was just written: nothing worth telling
        out << page_of(result.output, false, reading);
        for (const Finding& finding : findings.list()) {
            log.finding(finding);
        }
        log.event("screen is done: " + result.output);
        return 0;
    } catch (const Stopped& stopped) {
        log.event("screen was stopped");
        fmt::print(stderr, "stopped; nothing half-written stands under the output's name. To go on from here:\n  {}\n",
                   command_to_resume(words));
        return stopped.exit_code();
    } catch (const Error& error) {
        show_findings(findings, false, shown);
        for (const Finding& finding : findings.list()) {
            log.finding(finding);
        }
        log.failure(error);
        if (error.fault() == Fault::passing) {
            fmt::print(stderr, "tiles that are done are kept. To go on when the trouble is over:\n  {}\n",
                       command_to_resume(words));
        }
        throw;
    }
}

}  // namespace

void add_screen_command(CLI::App& program, std::ostream& out, Job& job) {
    constexpr unsigned kMostThreads = 1024;
    constexpr std::size_t kMostMemoryMib = std::size_t{1} << 24U;
    const auto words = std::make_shared<ScreenWords>();
    CLI::App& command = *program.add_subcommand("screen", "Screen every roof of the basin and write a GeoPackage");
    command.add_option("project", words->project, "The project file")->required()->type_name("PROJECT.toml");
    command.add_option("-o,--output", words->options.output, "The GeoPackage to write, instead of basin.output")
        ->type_name("OUT.gpkg");
    command.add_option("--threads", words->threads, "How many threads work; without it one for each core")
        ->type_name("N")
        ->check(CLI::Range(1U, kMostThreads));
    command
        .add_option("--memory", words->options.memory_mib,
                    fmt::format("How much memory the run may take; without it {} MiB", kDefaultMemoryMib))
        ->type_name("MIB")
        ->check(CLI::Range(std::size_t{1}, kMostMemoryMib));
    command.add_flag("--overwrite", words->options.overwrite, "Replace an existing output when the run is done");
    command.add_flag("--resume", words->options.resume,
                     "Take up a run of the same settings and inputs that was stopped: its finished tiles are kept in "
                     "OUT.gpkg.work");
    command.add_flag("--strict", words->options.strict, "Stop on warnings, and fingerprint whole input files");
    add_common_words(command, words->common);
    command.callback([words, &out, &job] { job = [words, &out] { return run_screen(*words, out); }; });
}

}  // namespace eaveshed
