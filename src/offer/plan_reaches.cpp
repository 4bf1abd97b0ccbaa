#include "eaveshed/offer/plan_reaches.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/record/values.hpp"
#include "eaveshed/words/text_lines.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

double sum_of(const std::vector<ReachGain>& gains) {
    double sum = 0.0;
    for (const ReachGain& gain : gains) {
        sum += gain.gain_lps;
    }
    return sum;
}

double entering_no_reach(const std::vector<ReachGain>& gains) {
    double sum = 0.0;
    for (const ReachGain& gain : gains) {
        sum += gain.reach == kNoReach ? gain.gain_lps : 0.0;
    }
    return sum;
}

// The numbers of those with a gain, the greatest first: a reach never before the one that it flows into.
std::vector<std::uint32_t> reaches_to_show(const PlanReaches& plan, const ReachTree& tree) {
    std::vector<std::uint32_t> shown;
    for (std::size_t i = tree.size(); i-- > 0;) {
        const std::uint32_t reach = tree.upstream_first()[i];
        if (plan.reaches[reach].with_plan_lps > 0.0) {
            shown.push_back(reach);
        }
    }
    std::ranges::stable_sort(shown, std::ranges::greater{},
                             [&](std::uint32_t reach) { return plan.reaches[reach].with_plan_lps; });
    return shown;
}

// Flows in words.
class FlowWords {
public:
    explicit FlowWords(OutputUnits units) : m_quantities(units) {}

    [[nodiscard]] std::string number(std::optional<double> flow_lps) const {
        constexpr int kFigures = 3;
        return flow_lps ? with_figures(m_quantities.shown("L/s", *flow_lps), kFigures) : "-";
    }
    [[nodiscard]] std::string text(double flow_lps) const {
        return fmt::format("{} {}", number(flow_lps), m_quantities.unit("L/s"));
    }
    [[nodiscard]] std::string_view unit() const { return m_quantities.unit("L/s"); }

private:
    QuantityText m_quantities;
};

}  // namespace

PlanReaches plan_reaches(const Enrolment& enrolment) {
    const FileReaches& streams = enrolment.streams;
    std::vector<ReachGain> added;
    for (const std::size_t chosen : enrolment.plan.chosen) {
        added.push_back({enrolment.offers[chosen].reach, enrolment.offers[chosen].gain_lps});
    }
    PlanReaches plan;
    plan.enrolled_lps = sum_of(enrolment.present);
    plan.added_lps = sum_of(added);
    plan.no_reach_lps = entering_no_reach(enrolment.present) + entering_no_reach(added);
    const std::size_t size = streams.rows.size();
    const std::vector<double> enrolled_total = streams.tree.accumulated(local_gains_lps(size, enrolment.present));
    const std::vector<double> added_local = local_gains_lps(size, added);
    const std::vector<double> added_total = streams.tree.accumulated(added_local);
    for (std::size_t i = 0; i < size; ++i) {
        const double both = enrolled_total[i] + added_total[i];
        plan.reaches.push_back({.enrolled_total_lps = enrolled_total[i],
                                .added_local_lps = added_local[i],
                                .added_total_lps = added_total[i],
                                .with_plan_lps = both,
                                .share = share_of_low_flow(both, streams.rows[i].low_flow_lps)});
    }
    return plan;
}

std::string plan_reaches_text(const Enrolment& enrolment) {
    constexpr std::size_t kShown = 15;
    constexpr std::size_t kIdBytes = 12;
    constexpr std::size_t kNameBytes = 16;
    constexpr std::string_view kLine = "  {:<12} {:<12} {:<16} {:>9} {:>9} {:>9} {:>9} {:>9}\n";
    const FileReaches& streams = enrolment.streams;
    if (streams.empty()) {
        return "";
    }
    const FlowWords words(enrolment.settings.output.units);
    const PlanReaches plan = plan_reaches(enrolment);
    const std::vector<std::uint32_t> shown = reaches_to_show(plan, streams.tree);
    std::string text = fmt::format("Stream gain along the reaches with the plan in place, {}\n", words.unit());
    if (!shown.empty()) {
        text += fmt::format(kLine, "", "", "", "enrolled", "plan", "plan with", "", "of the");
        text += fmt::format(kLine, "reach", "flows into", "creek", "already", "here", "upstream", "both", "low flow");
    }
    for (std::size_t i = 0; i < std::min(kShown, shown.size()); ++i) {
        const ReachRow& row = streams.rows[shown[i]];
        const PlanReach& reach = plan.reaches[shown[i]];
        text += fmt::format(kLine, name_in_column(row.reach_id, kIdBytes),
                            name_in_column(row.next_reach_id.value_or(""), kIdBytes),
                            name_in_column(row.creek.value_or(""), kNameBytes), words.number(reach.enrolled_total_lps),
                            words.number(reach.added_local_lps), words.number(reach.added_total_lps),
                            words.number(reach.with_plan_lps), low_flow_percent(reach.share));
    }
    if (shown.size() > kShown) {
        text += fmt::format("  and {} more: --reaches-csv writes them all\n", shown.size() - kShown);
    }
    return text +
           wrapped_text(
               fmt::format("  \"Enrolled already\" counts the whole basin, with what comes from upstream. At the "
                           "outlets together {} arrive: {} by the plan and {} by parcels enrolled already, less "
                           "{} that enter no reach.",
                           words.text(plan.enrolled_lps + plan.added_lps - plan.no_reach_lps),
                           words.text(plan.added_lps), words.text(plan.enrolled_lps), words.text(plan.no_reach_lps)),
               kPageColumns, 2);
}

Sheet plan_reaches_table(const Enrolment& enrolment) {
    Sheet table{"reaches",
                {{"reach_id"},
                 {"next_reach_id"},
                 {"creek"},
                 {"low_flow_lps"},
                 {"enrolled_total_lps"},
                 {"added_local_lps"},
                 {"added_total_lps"},
                 {"with_plan_lps"},
                 {"with_plan_share"}},
                {}};
    const PlanReaches plan = plan_reaches(enrolment);
    for (std::size_t i = 0; i < plan.reaches.size(); ++i) {
        const ReachRow& row = enrolment.streams.rows[i];
        const PlanReach& reach = plan.reaches[i];
        table.rows.push_back({row.reach_id, to_value(row.next_reach_id), to_value(row.creek),
                              to_value(row.low_flow_lps), reach.enrolled_total_lps, reach.added_local_lps,
                              reach.added_total_lps, reach.with_plan_lps, to_value(reach.share)});
    }
    return table;
}

}  // namespace eaveshed
