// The commands that only print words: settings, columns and help.
#include <CLI/CLI.hpp>
#include <functional>
#include <memory>
#include <ostream>
#include <string>

#include "eaveshed/cli/columns_command.hpp"
#include "eaveshed/cli/commands.hpp"
#include "eaveshed/cli/common_words.hpp"
#include "eaveshed/cli/help_command.hpp"
#include "eaveshed/cli/settings_command.hpp"

namespace eaveshed {

namespace {

// What such a command says goes to the log, where one is asked for, as begun and done.
void set_job(CLI::App& command, const std::string& name, Job& job, const std::function<int()>& print) {
    const auto common = std::make_shared<CommonWords>();
    add_common_words(command, *common);
    command.callback([common, name, print, &job] {
        job = [common, name, print] {
            int code = 0;
            run_logged(*common, name, [&](Findings&) { code = print(); });
            return code;
        };
    });
}

}  // namespace

void add_settings_command(CLI::App& program, std::ostream& out, Job& job) {
    const auto markdown = std::make_shared<bool>(false);
    CLI::App& command =
        *program.add_subcommand("settings", "Print every setting: unit, default, range, meaning, source");
    command.add_flag("--markdown", *markdown, "As Markdown, as in docs/settings.md");
    set_job(command, "settings", job, [markdown, &out] { return print_settings(out, *markdown); });
}

void add_columns_command(CLI::App& program, std::ostream& out, Job& job) {
    const auto table = std::make_shared<std::string>();
    const auto markdown = std::make_shared<bool>(false);
    CLI::App& command =
        *program.add_subcommand("columns", "Print the output's tables: every column, its unit, meaning and words");
    command.add_option("table", *table, "One table, such as roofs; without it all")->type_name("TABLE");
    command.add_flag("--markdown", *markdown, "All of them as Markdown, as in docs/output.md");
    set_job(command, "columns", job, [table, markdown, &out] { return print_columns(out, *table, *markdown); });
}

void add_help_command(CLI::App& program, std::ostream& out, Job& job) {
    const auto topic = std::make_shared<std::string>();
    CLI::App& command = *program.add_subcommand("help", "Explain a command, or a topic such as statuses or exit-codes");
    command.add_option("topic", *topic, "The topic, or the name of a command")->type_name("TOPIC");
    set_job(command, "help", job, [topic, &program, &out] {
        for (const CLI::App* command_named : program.get_subcommands({})) {
            if (command_named->get_name() == *topic) {
                out << command_named->help("eaveshed");
                return 0;
            }
        }
        return print_help(out, *topic);
    });
}

}  // namespace eaveshed
