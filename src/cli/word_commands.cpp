// The commands that only print words: settings and help.
#include <CLI/CLI.hpp>
#include <memory>
#include <ostream>

#include "eaveshed/cli/commands.hpp"
#include "eaveshed/cli/help_command.hpp"
#include "eaveshed/cli/settings_command.hpp"

namespace eaveshed {

void add_settings_command(CLI::App& program, std::ostream& out, Job& job) {
    const auto markdown = std::make_shared<bool>(false);
    CLI::App& command =
        *program.add_subcommand("settings", "Print every setting: unit, default, range, meaning, source");
    command.add_flag("--markdown", *markdown, "As Markdown, as in docs/settings.md");
    command.callback([markdown, &out, &job] { job = [markdown, &out] { return print_settings(out, *markdown); }; });
}

void add_help_command(CLI::App& program, std::ostream& out, Job& job) {
    const auto topic = std::make_shared<std::string>();
    CLI::App& command = *program.add_subcommand("help", "Explain a topic: statuses, flags, exit-codes, formats, units");
    command.add_option("topic", *topic, "The topic")->type_name("TOPIC");
    command.callback([topic, &out, &job] { job = [topic, &out] { return print_help(out, *topic); }; });
}

}  // namespace eaveshed
