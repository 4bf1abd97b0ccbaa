// The commands: each adds its words to the program and says what to do when it is chosen. One source file a command.
#pragma once

#include <functional>
#include <iosfwd>

namespace CLI {
class App;
}

namespace eaveshed {

// Set by the command that was chosen; gives the exit code. It may throw Error or Stopped.
using Job = std::function<int()>;

void add_check_command(CLI::App& program, std::ostream& out, Job& job);
void add_screen_command(CLI::App& program, std::ostream& out, Job& job);
void add_styles_command(CLI::App& program, std::ostream& out, Job& job);
void add_split_command(CLI::App& program, std::ostream& out, Job& job);
void add_gather_command(CLI::App& program, std::ostream& out, Job& job);
void add_summary_command(CLI::App& program, std::ostream& out, Job& job);
void add_explain_command(CLI::App& program, std::ostream& out, Job& job);
void add_rank_command(CLI::App& program, std::ostream& out, Job& job);
void add_enrol_command(CLI::App& program, std::ostream& out, Job& job);
void add_report_command(CLI::App& program, std::ostream& out, Job& job);
void add_compare_command(CLI::App& program, std::ostream& out, Job& job);
void add_settings_command(CLI::App& program, std::ostream& out, Job& job);
void add_rules_command(CLI::App& program, std::ostream& out, Job& job);
void add_columns_command(CLI::App& program, std::ostream& out, Job& job);
void add_help_command(CLI::App& program, std::ostream& out, Job& job);

}  // namespace eaveshed
