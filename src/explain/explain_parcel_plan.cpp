// Cost, score, questions and scenarios of a parcel.
#include <string>

#include "eaveshed/parcel/parcel_system.hpp"
#include "eaveshed/ranking/ranking.hpp"
#include "explain_parcel_parts.hpp"

namespace eaveshed {

namespace {

Fact money(char sign, std::string key, std::string label, double value, std::string from) {
    return {.sign = sign,
            .key = std::move(key),
            .label = std::move(label),
            .value = value,
            .unit = "",
            .decimals = 2,
            .from = std::move(from)};
}

void add_cost(const ExplainedParcel& parcel, Document& document) {
    const ParcelRow& row = parcel.explanation.result.parcel;
    const Settings& settings = parcel.run.project.settings;
    const StorageOption& option = parcel.explanation.options.at(parcel.explanation.chosen);
    const CostSettings& prices = settings.cost;
    SectionWriter section(document, "cost", "Cost" + (prices.currency.empty() ? "" : ", " + prices.currency));
    const QuantityText& units = section.units();
    if (row.delivery == Delivery::no_pad) {
        section.say("Without a place for the tanks there is no cost.");
        return;
    }
    const Pad& pad = parcel.explanation.sizes.at(parcel.explanation.chosen).pad.value();
    const SystemParts parts = system_parts(option, pad, row);
    const auto lines = cost_lines(parts, prices);
    if (!lines) {
        section.say(
            "A price is missing: [cost] pad, pipe_per_m and, where one is needed, pump, and the cost of the "
            "option among [[tanks]].");
        return;
    }
    section.add(money(' ', "tanks", "Tanks", lines->tanks,
                      fmt::format("{:.2f} for {} x {:.3f}, the share that is not there yet",
                                  parts.tank_cost.value_or(0.0), storage_text(option, units), parts.new_share)));
    section.add(money('+', "pad", "Ground of the tanks", lines->pad,
                      parts.new_tanks > 0.0
                          ? fmt::format("{:.2f} (cost.pad, the ground of one tank) x {:.0f}, the tanks that "
                                        "are not there yet",
                                        prices.pad.value_or(0.0), parts.new_tanks)
                          : "nothing new, so no ground to make"));
    section.add(money(
        '+', "pipes", "Pipes", lines->pipes,
        fmt::format(
            "({} of fill lines + {} of feed pipe{}) x {:.2f}{} (cost.pipe_per_m)",
            units.fixed("m", parts.fill_lines_m, 2), units.fixed("m", parts.feed_pipe_m, 2),
            parts.row_pipe_m > 0.0 ? fmt::format(" + {} along the row", units.fixed("m", parts.row_pipe_m, 2)) : "",
            units.price_per("m", prices.pipe_per_m).value_or(0.0), units.unit("m") == "m" ? "" : " a foot")));
    section.add(money('+', "pump", "Pump", lines->pump, parts.pump ? "cost.pump" : "none: gravity fills and feeds"));
    section.add(money('=', "cost", "Cost", lines->total(), ""));
    if (const auto price = units.price_per("m3", row.cost_per_m3)) {
        section.add(money(' ', "cost_per_m3", fmt::format("Cost per {}", units.unit("m3")), *price,
                          "over the added forbearance of one season"));
    }
}

FactTable components_table(const ExplainedParcel& parcel) {
    const RankSettings& settings = parcel.run.project.settings.rank;
    const ScoreRule rule = score_rule(settings);
    const ScoreComponents components = score_components(parcel.ranked);
    const std::array<std::optional<double>, kScoreComponents> raw{
        components.stream_gain_lps, components.low_flow_share, components.gravity_probability, components.cost_per_m3,
        components.season_reliability};
    const std::array<double, kScoreComponents> weights{rule.weights.stream_gain, rule.weights.low_flow_share,
                                                       rule.weights.gravity, rule.weights.cost,
                                                       rule.weights.reliability};
    const std::array<double, kScoreComponents> ranges{rule.ranges.stream_gain_lps, rule.ranges.low_flow_share, 1.0,
                                                      rule.ranges.cost_per_m3, 1.0};
    const Score counted = score(components, rule);
    FactTable table{.key = "components",
                    .columns = {{.key = "component", .label = "\ncomponent"},
                                {.key = "value", .label = "\nvalue", .decimals = 5},
                                {.key = "range_end", .label = "from 0\nto", .decimals = 4},
                                {.key = "scaled", .label = "\nscaled", .decimals = 4},
                                {.key = "weight", .label = "\nweight", .decimals = 3},
                                {.key = "contribution", .label = "\nproduct", .decimals = 5}},
                    .rows = {}};
    for (std::size_t i = 0; i < kScoreComponents; ++i) {
        const auto& scaled = counted.scaled.at(i);
        table.rows.push_back({std::string(kScoreComponentNames.at(i)), value_of(raw.at(i)), ranges.at(i),
                              value_of(scaled), weights.at(i), scaled ? Value(*scaled * weights.at(i)) : Value()});
    }
    return table;
}

std::string not_ranked_text(const ParcelRow& ranked) {
    switch (why_not_ranked(ranked).value_or(NotRanked::adds_nothing)) {
        case NotRanked::contact: return fmt::format("{}", meaning_of(ranked.contact_status));
        case NotRanked::no_pad: return "its storage has no place to stand";
        case NotRanked::adds_nothing: break;
    }
    return fmt::format("its storage adds nothing to what is there already (scenario {})",
                       ranked.rank_scenario.value_or(std::string(kScenarioNow)));
}

void add_score(const ExplainedParcel& parcel, Document& document) {
    const ParcelRow& row = parcel.explanation.result.parcel;
    const RankSettings& settings = parcel.run.project.settings.rank;
    SectionWriter section(document, "score", "Score and rank");
    section.text("contact_status", "Contact", named(row.contact_status));
    if (!row.score) {
        section.text("candidate", "Candidate", "no: " + not_ranked_text(parcel.ranked));
        return;
    }
    section.text("candidate", "Candidate", "yes: its storage has a place and adds to what is there already");
    section.text("rank_scenario", "Volumes of the scenario", row.rank_scenario.value_or(""),
                 from_setting(parcel.run.project.settings, "rank", "scenario"));
    section.add(components_table(parcel));
    if (section.units().unit("m3") != "m3") {
        section.say("Values of stream_gain are in L/s and those of cost per m3, as the settings of [rank] are.");
    }
    section.say(
        "Scaled over its fixed range and cut to 0 to 1; the cost counts the other way round. The score is the sum of "
        "the "
        "products over the sum of the weights of the components that have a value.");
    section.add(Fact{.sign = '=',
                     .key = "score",
                     .label = "Score",
                     .value = *row.score,
                     .unit = "",
                     .decimals = 4,
                     .from = row.flags.has(Flag::score_partial)
                                 ? "a component that has a weight has no value here, though other candidates have it"
                                 : ""});
    section.say("The next three hang on all parcels: they are the stored ones, not computed again.");
    section.add(Fact{.key = "rank", .label = "Rank", .value = value_of(row.rank), .unit = "", .from = "by score"});
    section.add(Fact{.key = "pareto_tier",
                     .label = "Pareto tier",
                     .value = value_of(row.pareto_tier),
                     .unit = "",
                     .from = "1: no other parcel is as good in everything and better in something"});
    section.add(Fact{.key = "rank_stability",
                     .label = "Rank stability",
                     .value = value_of(row.rank_stability),
                     .unit = "",
                     .decimals = 3,
                     .from = fmt::format("share of {} draws (rank.draws) among the first {} (rank.top)", settings.draws,
                                         settings.top)});
}

std::string check_text(const std::optional<GravityCheck>& check) {
    return check ? std::string(to_text(*check)) : "no";
}

void add_questions(const ExplainedParcel& parcel, Document& document) {
    const auto& questions = parcel.explanation.result.questions;
    SectionWriter section(document, "questions", "What to ask first");
    if (questions.empty()) {
        section.say("Nothing that was assumed could change the result.");
        return;
    }
    section.say(
        "Each assumption was replaced by a low and a high value, with storage and pad as chosen; asked first is what "
        "could change most.");
    FactTable table{.key = "questions",
                    .columns = {{.key = "assumed", .label = "\nassumed"},
                                {.key = "change", .label = "\nchange", .decimals = 3},
                                {.key = "low_m3", .label = "replaces {}\nlow", .unit = "m3", .decimals = 1},
                                {.key = "high_m3", .label = "\nhigh", .unit = "m3", .decimals = 1},
                                {.key = "low_lps", .label = "gain {}\nlow", .unit = "L/s", .decimals = 4},
                                {.key = "high_lps", .label = "\nhigh", .unit = "L/s", .decimals = 4},
                                {.key = "low_check", .label = "gravity\nlow"},
                                {.key = "high_check", .label = "\nhigh"}},
                    .rows = {}};
    for (const QuestionToAsk& question : questions) {
        table.rows.push_back({std::string(words_of(question.question).name), question.change,
                              question.low.forbearance_m3, question.high.forbearance_m3, question.low.stream_gain_lps,
                              question.high.stream_gain_lps, check_text(question.low.gravity_check),
                              check_text(question.high.gravity_check)});
    }
    section.add(std::move(table));
    for (const QuestionToAsk& question : questions) {
        const QuestionWords& words = words_of(question.question);
        section.say(
            fmt::format("{} {}: {:g} and {:g}. \"{}\"", words.name, words.varied, words.low, words.high, words.ask));
    }
}

void add_scenarios(const ExplainedParcel& parcel, Document& document) {
    const auto& scenarios = parcel.explanation.result.scenarios;
    if (scenarios.empty()) {
        return;
    }
    SectionWriter section(document, "scenarios", "In other climates");
    FactTable table{.key = "scenarios",
                    .columns = {{.key = "scenario", .label = "\nscenario"},
                                {.key = "harvest_mean_m3", .label = "harvest\n{}", .unit = "m3", .decimals = 1},
                                {.key = "demand_m3", .label = "demand\n{}", .unit = "m3", .decimals = 1},
                                {.key = "forbearance_m3", .label = "replaces\n{}", .unit = "m3", .decimals = 1},
                                {.key = "forbearance_now_m3", .label = "now\n{}", .unit = "m3", .decimals = 1},
                                {.key = "added_forbearance_m3", .label = "added\n{}", .unit = "m3", .decimals = 1},
                                {.key = "instream_gain_lps", .label = "gain\n{}", .unit = "L/s", .decimals = 4},
                                {.key = "added_gain_lps", .label = "added\n{}", .unit = "L/s", .decimals = 4},
                                {.key = "season_reliability", .label = "seasons\nmet", .decimals = 3}},
                    .rows = {}};
    for (const ScenarioRow& row : scenarios) {
        table.rows.push_back({row.scenario, value_of(row.harvest_mean_m3), value_of(row.demand_m3),
                              value_of(row.forbearance_m3), value_of(row.forbearance_now_m3),
                              value_of(row.added_forbearance_m3), value_of(row.instream_gain_lps),
                              value_of(row.added_gain_lps), value_of(row.season_reliability)});
    }
    section.add(std::move(table));
}

}  // namespace

void add_parcel_plan_sections(const ExplainedParcel& parcel, Document& document) {
    const ParcelRow& row = parcel.explanation.result.parcel;
    if (row.storage_m3) {
        add_cost(parcel, document);
    }
    if (row.parcel_status != ParcelStatus::ok) {
        return;
    }
    add_score(parcel, document);
    if (row.storage_m3) {
        add_questions(parcel, document);
        add_scenarios(parcel, document);
    }
}

}  // namespace eaveshed
