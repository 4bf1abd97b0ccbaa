#include "eaveshed/cli/program.hpp"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <array>
#include <new>
#include <nlohmann/json.hpp>
#include <ostream>
#include <string_view>
#include <system_error>

#include "eaveshed/cli/commands.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/core/spelling.hpp"
#include "eaveshed/network/address.hpp"
#include "eaveshed/outside/library_versions.hpp"
#include "eaveshed/progress/progress.hpp"
#include "eaveshed/words/safe_output.hpp"
#include "eaveshed/words/version.hpp"

namespace eaveshed {

namespace {

constexpr const char* kPurpose =
    "eaveshed screens every roof of a basin of wet winters and dry summers: how much winter water it dependably\n"
    "gives, which tank that fills, and how much summer diversion it replaces on the stream.";
constexpr const char* kExamples =
    "Examples\n"
    "  eaveshed check basin.toml             what is understood of the inputs, and what is wrong with them\n"
    "  eaveshed screen basin.toml            the GeoPackage that basin.toml names\n"
    "  eaveshed summary basin.gpkg           the page that a screening ends with, once more\n"
    "  eaveshed explain OUT.gpkg --roof ID   every step and number behind one roof's row\n"
    "  eaveshed rank basin.gpkg --xlsx calls.xlsx   whom to call, in which order, and what to ask\n"
    "  eaveshed report basin.gpkg -o report  pages for people without a GIS\n"
    "  eaveshed settings | less              every setting of a project file\n"
    "Each command has --help; `eaveshed help` lists topics.";

void print_version(std::ostream& out, bool json) {
    if (json) {
        nlohmann::ordered_json versions{{"eaveshed", program_version()}};
        for (const auto& [name, version] : library_versions()) {
            versions[name] = version;
        }
        out << versions.dump(2) << '\n';
        return;
    }
    out << "eaveshed " << program_version() << " (";
    std::string lead;
    for (const auto& [name, version] : library_versions()) {
        out << lead << name << ' ' << version;
        lead = ", ";
    }
    out << ")\n";
}

// All words that are known where the user stands: commands, and the options of the command that was chosen.
struct KnownWords {
    std::vector<std::string> words;
    const CLI::App* command = nullptr;
};

KnownWords known_words(const CLI::App& program, const std::vector<std::string>& given) {
    KnownWords known;
    for (const CLI::App* sub : program.get_subcommands({})) {
        known.words.push_back(sub->get_name());
        if (!given.empty() && given.front() == sub->get_name()) {
            known.command = sub;
        }
    }
    for (const CLI::Option* option : (known.command != nullptr ? known.command : &program)->get_options()) {
        for (const std::string& name : option->get_lnames()) {
            known.words.push_back("--" + name);
        }
    }
    return known;
}

// What is wrong with the words: the first that is not known, with the nearest that is, else the parser's own text.
std::string fault_of(const CLI::App& program, const std::vector<std::string>& given, const CLI::ParseError& error) {
    const KnownWords known = known_words(program, given);
    const std::vector<std::string_view> views(known.words.begin(), known.words.end());
    for (const std::string& word : given) {
        const std::string name = word.substr(0, word.find('='));
        const bool is_option = name.starts_with("--");
        if (std::ranges::find(known.words, name) != known.words.end() || (known.command != nullptr && !is_option)) {
            continue;
        }
        const std::string_view near = closest_name(name, views);
        return fmt::format("'{}' is no {} here{}", name, is_option ? "option" : "command",
                           near.empty() ? "" : fmt::format("; did you mean {}?", near));
    }
    return error.what();
}

int tell_refusal(const std::system_error& error) {
    constexpr std::array kPassing{std::errc::no_space_on_device, std::errc::not_enough_memory,
                                  std::errc::too_many_files_open, std::errc::too_many_files_open_in_system,
                                  std::errc::resource_unavailable_try_again};
    const bool passing = std::ranges::any_of(kPassing, [&](std::errc code) { return error.code() == code; });
    tell("error: {}; {}\n", error.what(),
         passing ? "run again in a while" : "check the folder and its disk, then run again");
    return static_cast<int>(passing ? Fault::passing : Fault::working);
}

int run_job(const Job& job) {
    try {
        return job();
    } catch (const Stopped& stopped) {
        tell("stopped; {}\n", words_when_stopped());
        return stopped.exit_code();
    } catch (const Error& error) {
        tell("error: {}\n", error.what());
        return error.exit_code();
    } catch (const std::system_error& error) {  // what the system refused to the standard library: a folder, a thread
        return tell_refusal(error);
    } catch (const std::bad_alloc&) {
        tell("error: out of memory; use fewer threads, or screen the basin in pieces\n");
        return static_cast<int>(Fault::passing);
    } catch (const std::exception& error) {
        if (std::string_view(error.what()).find("pthread_create") != std::string_view::npos) {  // thrown by oneTBB
            tell("error: {}; use fewer threads, or run again in a while\n", error.what());
            return static_cast<int>(Fault::passing);
        }
        tell("internal error: {}; please report it with the command you ran\n", error.what());
        return static_cast<int>(Fault::internal);
    }
}

}  // namespace

namespace {

int run_words(const std::vector<std::string>& words, std::ostream& out) {
    forget_network();  // of an earlier run in this process
    CLI::App program{kPurpose, "eaveshed"};
    program.footer(kExamples);
    program.set_help_flag("-h,--help", "What the program or a command understands");
    program.require_subcommand(0, 1);  // one job a call: further names of commands are plain words
    bool version = false;
    bool json = false;
    program.add_flag("--version", version, "The versions of program and libraries");
    program.add_flag("--json", json, "With --version: as JSON");
    Job job;
    add_check_command(program, out, job);
    add_screen_command(program, out, job);
    add_split_command(program, out, job);
    add_gather_command(program, out, job);
    add_summary_command(program, out, job);
    add_explain_command(program, out, job);
    add_rank_command(program, out, job);
    add_enrol_command(program, out, job);
    add_report_command(program, out, job);
    add_compare_command(program, out, job);
    add_styles_command(program, out, job);
    add_settings_command(program, out, job);
    add_rules_command(program, out, job);
    add_columns_command(program, out, job);
    add_help_command(program, out, job);
    for (CLI::App* command : program.get_subcommands({})) {
        if (command->get_footer() == kExamples) {  // handed down, not its own
            command->footer("");
        }
    }
    try {
        program.parse(std::vector<std::string>(words.rbegin(), words.rend()));
    } catch (const CLI::CallForHelp&) {
        const auto chosen = program.get_subcommands();
        out << (chosen.empty() ? program.help() : chosen.front()->help("eaveshed"));
        return 0;
    } catch (const CLI::ParseError& error) {
        tell("error: {}; see `eaveshed --help`\n", fault_of(program, words, error));
        return static_cast<int>(Fault::input);
    }
    if (version) {
        print_version(out, json);
        return 0;
    }
    if (!job) {
        tell("{}", program.help());
        return static_cast<int>(Fault::input);
    }
    return run_job(job);
}

}  // namespace

int run_program(const std::vector<std::string>& words, std::ostream& out) {
    SafeBuffer buffer(out);
    std::ostream safe(&buffer);
    const int code = run_words(words, safe);
    safe.flush();
    return code;
}

}  // namespace eaveshed
