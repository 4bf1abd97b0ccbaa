#include "eaveshed/plausible/print_checks.hpp"

#include <fmt/format.h>

#include <ostream>
#include <string>

#include "eaveshed/core/check_code.hpp"

namespace eaveshed {

namespace {

// "median plan area, m2: below 15 or above 2000"; empty where there are no numbers.
std::string told_beyond(const CheckRule& rule) {
    std::string text(rule.asked);
    const bool has_low = rule.low != 0.0;
    const bool has_high = rule.high != 0.0;
    if (has_low || has_high) {
        text += fmt::format(": {}{}{}", has_low ? fmt::format("below {:g}", rule.low) : "",
                            has_low && has_high ? " or " : "", has_high ? fmt::format("above {:g}", rule.high) : "");
    }
    if (rule.share > 0.0) {
        text += fmt::format("{}{:.0f} % of the {}{}", text.empty() ? "" : "; ", 100.0 * rule.share, rule.of,
                            rule.share < 1.0 ? " or more" : "");
    }
    return text;
}

}  // namespace

void print_checks(std::ostream& out) {
    out << "# Checks\n\n"
           "What `eaveshed check`, and `eaveshed screen` before it starts, ask of inputs that are sound as files and "
           "may hardly\n"
           "be meant. The roofs and parcels asked are an even sample, the same each time. Each finding has a code, the "
           "share of\n"
           "those looked at, one of them with its numbers, and what to do. A warning stops a run with `--strict`. One "
           "that "
           "is\n"
           "deliberate is accepted in the project file and becomes a note:\n\n"
           "```toml\n[check]\naccepted = [\"coarse_cells\"]\n```\n\n"
           "The bounds are wide: what passes is not proven right. This page is made by `eaveshed help checks`.\n\n"
           "| code | of | weighs | told where | bounds | why these | what to do |\n"
           "| --- | --- | --- | --- | --- | --- | --- |\n";
    for (const CheckRule& rule : kCheckRules) {
        out << fmt::format("| `{}` | {} | {} | {} | {} | {} | {} |\n", rule.code, rule.of,
                           rule.severity == Severity::note ? "note" : "warning", rule.meaning, told_beyond(rule),
                           rule.reason, rule.remedy);
    }
}

}  // namespace eaveshed
