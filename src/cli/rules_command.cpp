// `eaveshed rules [--markdown]`: the rules of a pad's place.
#include <CLI/CLI.hpp>
#include <memory>
#include <ostream>

#include "eaveshed/cli/commands.hpp"
#include "eaveshed/cli/common_words.hpp"
#include "eaveshed/explain/siting_rules.hpp"

namespace eaveshed {

void add_rules_command(CLI::App& program, std::ostream& out, Job& job) {
    const auto markdown = std::make_shared<bool>(false);
    const auto common = std::make_shared<CommonWords>();
    CLI::App& command = *program.add_subcommand("rules", "Print where tanks can stand: every rule and its limit");
    command.add_flag("--markdown", *markdown, "As Markdown, as in docs/siting_rules.md");
    add_common_words(command, *common);
    command.callback([markdown, common, &out, &job] {
        job = [markdown, common, &out] {
            return run_logged(*common, "rules", [&](Findings&) {
                *markdown ? print_siting_rules_markdown(out) : print_siting_rules_text(out);
            });
        };
    });
}

}  // namespace eaveshed
