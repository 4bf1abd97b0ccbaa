#include "eaveshed/explain/siting_rules.hpp"

#include <fmt/format.h>

#include <ostream>
#include <variant>
#include <vector>

#include "eaveshed/settings/table.hpp"
#include "eaveshed/siting/siting_rule.hpp"

namespace eaveshed {

namespace {

std::string_view words_for(RuleSubject subject) {
    switch (subject) {
        case RuleSubject::ground: return "the ground of a cell";
        case RuleSubject::level: return "the ground cut level";
        case RuleSubject::runs: return "runs of cells of a row";
        case RuleSubject::place: return "a circle of the tanks' ground";
        case RuleSubject::pad: break;
    }
    return "the heights of a pad";
}

std::string settings_text(const SitingRule& rule, std::string_view quote) {
    std::string text;
    for (const std::string_view name : rule.also) {
        if (!name.empty()) {
            text += fmt::format("{}{}{}{}", text.empty() ? "" : ", ", quote, name, quote);
        }
    }
    return text;
}

// Unit and default: "siting.max_slope_pct (15 %)".
std::string limit_with_default(const SitingRule& rule, std::string_view quote) {
    const Setting* const setting = rule.limit.empty() ? nullptr : find_setting(rule.limit);
    return setting == nullptr ? std::string("none")
                              : fmt::format("{}{}{} ({}{}{})", quote, rule.limit, quote, default_text(*setting),
                                            setting->unit.empty() ? "" : " ", setting->unit);
}

}  // namespace

std::string limit_text(PadReason rule, const Settings& settings, const QuantityText& units) {
    const std::string_view name = siting_rules().at(static_cast<std::size_t>(rule)).limit;
    const Setting* const setting = name.empty() ? nullptr : find_setting(name);
    if (setting == nullptr || find_section(setting->section)->repeated) {
        return "";
    }
    return units.plain(setting->unit, std::get<Reach<double>>(setting->access).get(settings, 0));
}

std::string settled_by_visit_text() {
    std::string text;
    std::string_view last;
    for (const SitingRule& rule : siting_rules()) {
        if (rule.settled_by_visit() && rule.visit_settles != last) {
            text += fmt::format("{}{}", text.empty() ? "" : ", ", rule.visit_settles);
            last = rule.visit_settles;
        }
    }
    return text;
}

void print_siting_rules_text(std::ostream& out) {
    out << "Where tanks can stand: every cell of the elevation raster within siting.max_fill_m of the roof, but for\n"
           "those that a rule removes. A removed cell counts at the first rule that removes it. For each rule, in\n"
           "their order: its name, what it removes, its limit with the default; what a cell has to fulfil; the other\n"
           "settings that it follows. Several tanks stand side by side or in a row along the contour: each way is\n"
           "judged on its own, every circle of ground is asked, and a cell that neither passes counts at the later of\n"
           "the two rules. Rules that a visit settles do not remove a place that was measured on site.\n\n";
    for (const SitingRule& rule : siting_rules()) {
        out << fmt::format("  {}: {}\n      Limit: {}. A cell stays if it {}.\n", term_of(rule.reason).name,
                           term_of(rule.reason).meaning, limit_with_default(rule, ""), rule.asks);
        const std::string also = settings_text(rule, "");
        out << fmt::format("      Asked of {}; {}.{}\n", words_for(rule.subject),
                           rule.settled_by_visit() ? "a visit settles it" : "no visit settles it",
                           also.empty() ? "" : fmt::format(" It follows {}.", also));
    }
}

void print_siting_rules_markdown(std::ostream& out) {
    out << "# Where tanks can stand\n\n"
           "The rules of a pad's place. This page is what `eaveshed rules --markdown` prints.\n\n"
           "Every cell of the elevation raster whose centre lies within `siting.max_fill_m` of the roof is a "
           "candidate.\n"
           "A candidate stays if it fulfils every rule. One that falls out counts at the first rule, in this order, "
           "that\n"
           "removes it; `no_pad_reason` names the rule that removed most of them, of equal ones the first.\n\n"
           "The tanks' ground is the circle that all tanks need side by side, or the circle of each tank of a row "
           "along the\n"
           "contour, with `siting.pad_margin_m` around them. Several tanks are offered both ways at every cell, each "
           "judged on\n"
           "its own: a rule asks every circle, setbacks count from its rim, and distances run to the true edges of "
           "the shapes.\n"
           "A cell that neither way passes counts at the later of the two rules. Of a place that was measured on "
           "site\n"
           "(the table of overrides) only that cell is asked, and the rules that a visit settles do not remove it: "
           "the\n"
           "first of them that it fails stands in `waived_rule`.\n\n"
           "| | Rule | It removes | A cell stays if it | Limit (default) | Also follows | Asked of | A visit settles "
           "|\n"
           "| ---: | --- | --- | --- | --- | --- | --- | --- |\n";
    int number = 0;
    for (const SitingRule& rule : siting_rules()) {
        out << fmt::format("| {} | `{}` | {} | {} | {} | {} | {} | {} |\n", ++number, term_of(rule.reason).name,
                           term_of(rule.reason).meaning, rule.asks, limit_with_default(rule, "`"),
                           settings_text(rule, "`"), words_for(rule.subject),
                           rule.settled_by_visit() ? rule.visit_settles : "no");
    }
}

}  // namespace eaveshed
