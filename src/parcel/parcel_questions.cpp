#include "eaveshed/parcel/parcel_questions.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/core/quantile.hpp"
#include "eaveshed/facts/table.hpp"
#include "eaveshed/hydraulics/certainty.hpp"
#include "shared_storage.hpp"

namespace eaveshed {

namespace {

// The water as it would be with another value of one assumption.
struct Variant {
    Question question = Question::people_and_garden;
    double value = 0.0;
    std::size_t which = 0;  // 0 the low one, 1 the high one
};

class Asking {
public:
    Asking(const TileInput& tile, const TileRules& rules, std::span<const ComputedRoof> roofs,
           const SharedStorage& store, const ParcelRows& result)
        : m_tile(tile), m_rules(rules), m_roofs(roofs), m_store(store), m_result(result) {}

    [[nodiscard]] std::vector<AssumedInput> assumed() const;

private:
    [[nodiscard]] ParcelOutcome as_it_is() const;
    [[nodiscard]] ParcelOutcome at_share(double share) const;
    void add_inflow(std::size_t member, std::span<const Variant> variants, bool dry, VariedFlows& flows) const;
    [[nodiscard]] VariedFlows flows_of(std::span<const Variant> variants, bool dry) const;
    [[nodiscard]] std::vector<ParcelOutcome> of_variants(std::span<const Variant> variants) const;
    [[nodiscard]] std::vector<AssumedInput> assumed_water() const;
    [[nodiscard]] ParcelOutcome at_eave(double sds) const;
    [[nodiscard]] ParcelOutcome at_use_elevation(double use_elev_m) const;
    [[nodiscard]] ParcelOutcome at_garden(double share) const;
    [[nodiscard]] ParcelOutcome with_check(double fill_probability, double feed_probability) const;

    const TileInput& m_tile;
    const TileRules& m_rules;
    std::span<const ComputedRoof> m_roofs;
    const SharedStorage& m_store;
    const ParcelRows& m_result;
};

ParcelOutcome Asking::as_it_is() const {
    const ParcelRow& row = m_result.parcel;
    return {*row.forbearance_m3, *row.instream_gain_lps, row.gravity_check};
}

ParcelOutcome Asking::at_share(double share) const {
    ParcelOutcome outcome = as_it_is();
    outcome.stream_gain_lps = *m_result.parcel.forbearance_lps * share;
    return outcome;
}

Lanes as_it_is_in_all_lanes() {
    Lanes factors;
    factors.fill(1.0);
    return factors;
}

// A member's inflow as it is, or another where it rests on an assumption that a lane changes: those that have their own
// value keep it. Each lane takes one series, the others by a factor of 0.
void Asking::add_inflow(std::size_t member, std::span<const Variant> variants, bool dry, VariedFlows& flows) const {
    const ComputedRoof& roof = m_roofs[member];
    const WaterRecord& own = roof.water.record;
    Lanes own_factors = as_it_is_in_all_lanes();
    std::vector<VariedSeries> others;
    for (std::size_t lane = 0; lane < variants.size(); ++lane) {
        const Variant& variant = variants[lane];
        if (!roof.result.roof.flags.has(assumed_flag(variant.question))) {
            continue;
        }
        if (variant.question == Question::connected_share) {
            own_factors[lane] = variant.value / roof.result.roof.connected_share.value();
        } else if (variant.question == Question::material) {
            const OtherInflow& other = roof.water.at_other_runoff.at(variant.which);
            own_factors[lane] = 0.0;
            others.push_back({dry ? other.dry_inflow_m3 : other.inflow_m3, {}});
            others.back().factors[lane] = 1.0;
        }
    }
    flows.inflow_m3.push_back({dry ? own.dry->inflow_m3 : own.series.inflow_m3, own_factors});
    flows.inflow_m3.insert(flows.inflow_m3.end(), others.begin(), others.end());
}

// A variant a lane; spare lanes are as it is.
VariedFlows Asking::flows_of(std::span<const Variant> variants, bool dry) const {
    const WaterSeries& as_is = dry ? *m_store.record.dry : m_store.record.series;
    VariedFlows flows{{}, {as_is.demand_m3, as_it_is_in_all_lanes()}};
    for (std::size_t lane = 0; lane < variants.size(); ++lane) {
        if (variants[lane].question == Question::people_and_garden) {
            flows.demand_m3.factors[lane] = variants[lane].value;
        }
    }
    // In the order in which they were joined.
    add_inflow(m_store.owner, variants, dry, flows);
    for (const std::size_t member : m_store.members) {
        if (member != m_store.owner) {
            add_inflow(member, variants, dry, flows);
        }
    }
    return flows;
}

// The chosen storage on other water, at most a variant a lane.
std::vector<ParcelOutcome> Asking::of_variants(std::span<const Variant> variants) const {
    LaneRecord record{m_store.record.counted, flows_of(variants, false), std::nullopt};
    if (m_store.record.dry) {
        record.dry = flows_of(variants, true);
    }
    const StorageOption& option = m_rules.options.at(m_store.sited.option);
    const auto stored = store_results(record, m_tile.climate.timeline(), m_rules, option);
    std::vector<ParcelOutcome> outcomes;
    for (std::size_t lane = 0; lane < variants.size(); ++lane) {
        ParcelOutcome& outcome = outcomes.emplace_back(as_it_is());
        outcome.forbearance_m3 = stored[lane].forbearance_m3();
        outcome.stream_gain_lps = mean_rate_lps(outcome.forbearance_m3, m_rules.season.forbear.mean_year_days()) *
                                  *m_result.parcel.source_share;
    }
    return outcomes;
}

// What changes the water: all of it run side by side.
std::vector<AssumedInput> Asking::assumed_water() const {
    constexpr std::array kOfWater{Question::people_and_garden, Question::material, Question::connected_share};
    static_assert(2 * kOfWater.size() <= kLanes);
    std::vector<Variant> variants;
    for (const Question question : kOfWater) {
        if (m_result.parcel.flags.has(assumed_flag(question))) {
            variants.push_back({question, words_of(question).low, 0});
            variants.push_back({question, words_of(question).high, 1});
        }
    }
    std::vector<AssumedInput> inputs;
    if (variants.empty()) {
        return inputs;
    }
    const std::vector<ParcelOutcome> outcomes = of_variants(variants);
    for (std::size_t i = 0; i < variants.size(); i += 2) {
        inputs.push_back({variants[i].question, outcomes[i], outcomes[i + 1]});
    }
    return inputs;
}

ParcelOutcome Asking::with_check(double fill_probability, double feed_probability) const {
    ParcelOutcome outcome = as_it_is();
    outcome.gravity_check = gravity_check(fill_probability, feed_probability);
    return outcome;
}

// A gutter known to be so much higher: what was uncertain about it is gone.
ParcelOutcome Asking::at_eave(double sds) const {
    const PadRow& pad = *m_result.pad;
    const double eave_sd_m = m_roofs[m_store.owner].eave->sd_m;
    const double fill_sd_m = m_store.sited.pad->fill_sd_m;
    const double rest = std::sqrt(std::max(0.0, fill_sd_m * fill_sd_m - eave_sd_m * eave_sd_m));
    return with_check(probability_not_negative(*pad.fill_margin_m + sds * eave_sd_m, rest), *pad.feed_probability);
}

// The same pad and pipe for a garden that lies higher or lower.
ParcelOutcome Asking::at_use_elevation(double use_elev_m) const {
    const PadRow& pad = *m_result.pad;
    const double pressure_kpa = *pad.pressure_kpa + kKpaPerMetre * (*pad.use_elev_m - use_elev_m);
    const double feed =
        probability_not_negative(pressure_kpa - m_rules.settings->siting.minimum_kpa, m_store.sited.pad->feed_sd_kpa);
    return with_check(*pad.fill_probability, feed);
}

// Where that share of the garden's cells lies no higher.
ParcelOutcome Asking::at_garden(double share) const {
    const std::vector<double>& garden = m_roofs[m_store.owner].garden_elev_m;
    return at_use_elevation(garden.empty() ? *m_result.pad->use_elev_m : garden[nearest_rank(share, garden.size())]);
}

std::vector<AssumedInput> Asking::assumed() const {
    std::vector<AssumedInput> inputs = assumed_water();
    const Flags flags = m_result.parcel.flags;
    const auto ask = [&](Question question, auto&& outcome_at) {
        if (flags.has(assumed_flag(question))) {
            const QuestionWords& words = words_of(question);
            inputs.push_back({question, outcome_at(words.low), outcome_at(words.high)});
        }
    };
    ask(Question::water_source, [&](double share) { return at_share(share); });
    if (m_result.pad) {
        ask(Question::eave_height, [&](double sds) { return at_eave(sds); });
        ask(Question::use_point, [&](double percentile) { return at_garden(percentile / kPercent); });
    }
    return inputs;
}

}  // namespace

std::vector<QuestionToAsk> parcel_questions(const TileInput& tile, const TileRules& rules,
                                            std::span<const ComputedRoof> roofs, const SharedStorage& store,
                                            const ParcelRows& result) {
    return ask_first(Asking(tile, rules, roofs, store, result).assumed());
}

}  // namespace eaveshed
