#include "eaveshed/tile/parcel_questions.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/core/quantile.hpp"
#include "eaveshed/siting/certainty.hpp"
#include "parcel_store.hpp"

namespace eaveshed {

namespace {

constexpr double kPercent = 100.0;

class Asking {
public:
    Asking(const TileInput& tile, const TileRules& rules, std::span<const ComputedRoof> roofs, const ParcelStore& store,
           const ParcelResult& result)
        : m_tile(tile), m_rules(rules), m_roofs(roofs), m_store(store), m_result(result) {}

    [[nodiscard]] std::vector<AssumedInput> assumed() const;

private:
    [[nodiscard]] ParcelOutcome as_it_is() const;
    [[nodiscard]] ParcelOutcome at_share(double share) const;
    [[nodiscard]] ParcelOutcome at_demand(double factor) const;
    template <typename RecordOf>
    [[nodiscard]] ParcelOutcome with_records(Flag assumed, const RecordOf& record_of) const;
    [[nodiscard]] ParcelOutcome at_runoff(double coefficient) const;
    [[nodiscard]] ParcelOutcome at_connected(double share) const;
    [[nodiscard]] ParcelOutcome at_eave(double sds) const;
    [[nodiscard]] ParcelOutcome at_use_elevation(double use_elev_m) const;
    [[nodiscard]] ParcelOutcome at_garden(double share) const;
    [[nodiscard]] ParcelOutcome of_record(const StoreRecord& record) const;
    [[nodiscard]] ParcelOutcome with_check(double fill_probability, double feed_probability) const;

    const TileInput& m_tile;
    const TileRules& m_rules;
    std::span<const ComputedRoof> m_roofs;
    const ParcelStore& m_store;
    const ParcelResult& m_result;
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

// The chosen storage on another record.
ParcelOutcome Asking::of_record(const StoreRecord& record) const {
    const StorageOption& option = m_rules.options.at(m_store.sited.option);
    const OptionResult stored =
        store_results(record, m_tile.climate->timeline, m_rules, {&option, std::size_t{1}}).front();
    ParcelOutcome outcome = as_it_is();
    outcome.forbearance_m3 = stored.behaviour.forbearance_m3();
    outcome.stream_gain_lps =
        mean_rate_lps(outcome.forbearance_m3, m_rules.season.forbear.mean_year_days()) * *m_result.parcel.source_share;
    return outcome;
}

ParcelOutcome Asking::at_demand(double factor) const {
    StoreRecord record = m_store.record;
    const auto scale = [factor](std::vector<double>& demand) {
        for (double& value : demand) {
            value *= factor;
        }
    };
    scale(record.series.demand_m3);
    if (record.dry) {
        scale(record.dry->demand_m3);
    }
    return of_record(record);
}

// Another record for the members that rest on the assumption: the others have their own value and keep it.
template <typename RecordOf>
ParcelOutcome Asking::with_records(Flag assumed, const RecordOf& record_of) const {
    std::vector<std::optional<StoreRecord>> others(m_roofs.size());
    for (const std::size_t member : m_store.members) {
        if (m_roofs[member].result.roof.flags.has(assumed)) {
            others[member] = record_of(m_roofs[member]);
        }
    }
    return of_record(combined_record(m_store.members, m_store.owner, [&](std::size_t roof) -> const StoreRecord& {
        return others[roof] ? *others[roof] : m_roofs[roof].water.record;
    }));
}

ParcelOutcome Asking::at_runoff(double coefficient) const {
    return with_records(Flag::default_material, [&](const ComputedRoof& roof) {
        return record_with_runoff(coefficient, roof.water, roof.result.roof, *m_tile.climate, m_rules);
    });
}

ParcelOutcome Asking::at_connected(double share) const {
    return with_records(Flag::default_connected, [&](const ComputedRoof& roof) {
        return record_with_connected(share, roof.water, roof.result.roof);
    });
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
    std::vector<AssumedInput> inputs;
    const Flags flags = m_result.parcel.flags;
    const auto ask = [&](bool is_assumed, Question question, auto&& outcome_at) {
        if (is_assumed) {
            const QuestionWords& words = words_of(question);
            inputs.push_back({question, outcome_at(words.low), outcome_at(words.high)});
        }
    };
    ask(flags.has(Flag::unknown_source), Question::water_source, [&](double share) { return at_share(share); });
    ask(flags.has(Flag::default_demand), Question::people_and_garden, [&](double factor) { return at_demand(factor); });
    ask(flags.has(Flag::default_material), Question::material,
        [&](double coefficient) { return at_runoff(coefficient); });
    ask(flags.has(Flag::default_connected), Question::connected_share,
        [&](double share) { return at_connected(share); });
    if (m_result.pad) {
        ask(flags.has(Flag::default_eave), Question::eave_height, [&](double sds) { return at_eave(sds); });
        ask(flags.has(Flag::assumed_use_point), Question::use_point,
            [&](double percentile) { return at_garden(percentile / kPercent); });
    }
    return inputs;
}

}  // namespace

std::vector<QuestionToAsk> parcel_questions(const TileInput& tile, const TileRules& rules,
                                            std::span<const ComputedRoof> roofs, const ParcelStore& store,
                                            const ParcelResult& result) {
    return ask_first(Asking(tile, rules, roofs, store, result).assumed());
}

}  // namespace eaveshed
