#include "eaveshed/parcel/parcel_questions.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/core/quantile.hpp"
#include "eaveshed/facts/table.hpp"
#include "eaveshed/hydraulics/certainty.hpp"
#include "shared_storage.hpp"

namespace eaveshed {

namespace {

class Asking {
public:
    Asking(const TileInput& tile, const TileRules& rules, std::span<const ComputedRoof> roofs,
           const SharedStorage& store, const ParcelRows& result)
        : m_tile(tile), m_rules(rules), m_roofs(roofs), m_store(store), m_result(result) {}

    [[nodiscard]] std::vector<AssumedInput> assumed() const;

private:
    [[nodiscard]] ParcelOutcome as_it_is() const;
    [[nodiscard]] ParcelOutcome at_share(double share) const;
    [[nodiscard]] WaterRecord at_demand(double factor) const;
    template <typename InflowOf>
    [[nodiscard]] WaterRecord at_inflow(Flag assumed, const InflowOf& inflow_of) const;
    [[nodiscard]] WaterRecord at_runoff(std::size_t which) const;
    [[nodiscard]] WaterRecord at_connected(double share) const;
    [[nodiscard]] std::vector<ParcelOutcome> of_records(std::span<const WaterRecord> records) const;
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

WaterRecord Asking::at_demand(double factor) const {
    WaterRecord record = m_store.record;
    const auto scale = [factor](std::vector<double>& demand) {
        for (double& value : demand) {
            value *= factor;
        }
    };
    scale(record.series.demand_m3);
    if (record.dry) {
        scale(record.dry->demand_m3);
    }
    return record;
}

// Another inflow for the members that rest on the assumption: the others have their own value and keep it. `inflow_of`
// gives a roof's, in the record as it is or in the assumed dry year.
template <typename InflowOf>
WaterRecord Asking::at_inflow(Flag assumed, const InflowOf& inflow_of) const {
    const auto inflow = [&](std::size_t member, bool dry) -> std::vector<double> {
        const ComputedRoof& roof = m_roofs[member];
        const WaterRecord& own = roof.water.record;
        return roof.result.roof.flags.has(assumed) ? inflow_of(roof, dry)
               : dry                               ? own.dry->inflow_m3
                                                   : own.series.inflow_m3;
    };
    const auto together = [&](bool dry) {
        std::vector<double> sum = inflow(m_store.owner, dry);
        for (const std::size_t member : m_store.members) {
            if (member != m_store.owner) {
                add_to(sum, inflow(member, dry));
            }
        }
        return sum;
    };
    const WaterRecord& as_is = m_store.record;
    WaterRecord record{as_is.counted, {together(false), as_is.series.demand_m3}, std::nullopt};
    if (as_is.dry) {
        record.dry = WaterSeries{together(true), as_is.dry->demand_m3};
    }
    return record;
}

WaterRecord Asking::at_runoff(std::size_t which) const {
    return at_inflow(assumed_flag(Question::material), [which](const ComputedRoof& roof, bool dry) {
        const OtherInflow& other = roof.water.at_other_runoff.at(which);
        return dry ? other.dry_inflow_m3 : other.inflow_m3;
    });
}

WaterRecord Asking::at_connected(double share) const {
    return at_inflow(assumed_flag(Question::connected_share), [share](const ComputedRoof& roof, bool dry) {
        const WaterRecord& own = roof.water.record;
        std::vector<double> inflow = dry ? own.dry->inflow_m3 : own.series.inflow_m3;
        const double factor = share / roof.result.roof.connected_share.value();
        for (double& volume : inflow) {
            volume *= factor;
        }
        return inflow;
    });
}

// The chosen storage on other records.
std::vector<ParcelOutcome> Asking::of_records(std::span<const WaterRecord> records) const {
    const StorageOption& option = m_rules.options.at(m_store.sited.option);
    std::vector<ParcelOutcome> outcomes;
    for (const OptionResult& stored : store_results(records, m_tile.climate.timeline(), m_rules, option)) {
        ParcelOutcome outcome = as_it_is();
        outcome.forbearance_m3 = stored.behaviour.forbearance_m3();
        outcome.stream_gain_lps = mean_rate_lps(outcome.forbearance_m3, m_rules.season.forbear.mean_year_days()) *
                                  *m_result.parcel.source_share;
        outcomes.push_back(outcome);
    }
    return outcomes;
}

// What changes the water: all of it run side by side.
std::vector<AssumedInput> Asking::assumed_water() const {
    const Flags flags = m_result.parcel.flags;
    std::vector<Question> questions;
    std::vector<WaterRecord> records;  // two a question: low and high
    const auto ask = [&](Question question, auto&& record_at) {
        if (flags.has(assumed_flag(question))) {
            questions.push_back(question);
            records.push_back(record_at(words_of(question).low, 0));
            records.push_back(record_at(words_of(question).high, 1));
        }
    };
    ask(Question::people_and_garden, [&](double factor, std::size_t /*which*/) { return at_demand(factor); });
    ask(Question::material, [&](double /*coefficient*/, std::size_t which) { return at_runoff(which); });
    ask(Question::connected_share, [&](double share, std::size_t /*which*/) { return at_connected(share); });
    const std::vector<ParcelOutcome> outcomes = of_records(records);
    std::vector<AssumedInput> inputs;
    for (std::size_t i = 0; i < questions.size(); ++i) {
        inputs.push_back({questions[i], outcomes[2 * i], outcomes[2 * i + 1]});
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
