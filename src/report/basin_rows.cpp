#include "eaveshed/report/basin_rows.hpp"

#include <algorithm>
#include <limits>

#include "eaveshed/offer/parcels_of_file.hpp"
#include "eaveshed/record/reach_row.hpp"
#include "eaveshed/result/read_values.hpp"

namespace eaveshed {

namespace {

PlaceRow place_of_parcel(ParcelRow&& row) {
    return {.id = std::move(row.parcel_id),
            .contact = row.contact_status,
            .can_be_asked = row.rank.has_value(),
            .rank = row.rank,
            .score = row.score,
            .storage_m3 = row.storage_m3,
            .tank_count = row.tank_count,
            .added_m3 = row.added_forbearance_m3,
            .added_lps = row.added_gain_lps,
            .cost = row.cost,
            .cost_per_m3 = row.cost_per_m3,
            .delivery = row.delivery,
            .gravity_check = row.gravity_check,
            .gravity_probability = row.gravity_probability,
            .rank_stability = row.rank_stability,
            .limited_by = row.limited_by,
            .source_known = !row.flags.has(Flag::unknown_source),
            .water_source = std::move(row.water_source).value_or(""),
            .ask_first = std::move(row.ask_first).value_or("")};
}

PlaceRow place_of_roof(RoofRow&& row) {
    return {.id = std::move(row.roof_id),
            .can_be_asked = row.pad_elev_m && row.forbearance_m3.value_or(0.0) > 0.0,
            .rank = {},
            .score = {},
            .storage_m3 = row.storage_m3,
            .tank_count = row.tank_count,
            .added_m3 = row.forbearance_m3,
            .added_lps = row.instream_gain_lps,
            .cost = {},
            .cost_per_m3 = {},
            .delivery = row.delivery,
            .gravity_check = row.gravity_check,
            .gravity_probability = row.gravity_probability,
            .rank_stability = {},
            .limited_by = row.limited_by,
            .source_known = !row.flags.has(Flag::unknown_source),
            .water_source = {},
            .ask_first = {}};
}

template <typename Row>
void each_row_of(const ResultReader& result, const std::string& file, const std::function<void(Row&&)>& visit) {
    const std::string table(Row::kTable.name);
    const RowReader<Row> reader(file, result.columns(table));
    result.each_row(table, "", table, [&](const std::vector<Value>& values) { visit(reader(values)); });
}

std::vector<ScenarioSum> scenario_sums(const ResultReader& result, const std::string& file) {
    std::vector<ScenarioSum> sums;
    if (!result.has_table(std::string(ScenarioRow::kTable.name))) {
        return sums;
    }
    each_row_of<ScenarioRow>(result, file, [&](ScenarioRow&& row) {
        auto sum = std::ranges::find(sums, row.scenario, &ScenarioSum::name);
        if (sum == sums.end()) {
            sum = sums.insert(sums.end(), ScenarioSum{.name = row.scenario});
        }
        sum->now_m3 += row.forbearance_now_m3.value_or(0.0);
        sum->then_m3 += row.forbearance_m3.value_or(0.0);
        sum->added_m3 += row.added_forbearance_m3.value_or(0.0);
        sum->added_lps += row.added_gain_lps.value_or(0.0);
    });
    return sums;
}

}  // namespace

std::tuple<std::int64_t, double, double> PlaceRow::list_key() const {
    return {rank.value_or(std::numeric_limits<std::int64_t>::max()), -added_lps.value_or(0.0), -added_m3.value_or(0.0)};
}

std::vector<const PlaceRow*> BasinRows::can_be_asked() const {
    std::vector<const PlaceRow*> some;
    for (const PlaceRow& place : places) {
        if (place.can_be_asked) {
            some.push_back(&place);
        }
    }
    std::ranges::stable_sort(some, std::ranges::less{}, [](const PlaceRow* place) { return place->list_key(); });
    return some;
}

BasinRows read_basin(const ResultReader& result, const std::string& file) {
    BasinRows rows{
        .facts = read_summary(result, file), .places = {}, .scenarios = scenario_sums(result, file), .enrolment = {}};
    if (rows.facts.of_parcels()) {
        each_parcel(result, file, "", [&](ParcelRow&& row) { rows.places.push_back(place_of_parcel(std::move(row))); });
        rows.enrolment = enrolment_curve(result, {.file = file, .budget = {}, .target_lps = {}});
    } else {
        each_row_of<RoofRow>(result, file,
                             [&](RoofRow&& row) { rows.places.push_back(place_of_roof(std::move(row))); });
    }
    const std::string reaches(ReachRow::kTable.name);
    if (result.has_table(reaches)) {
        rows.reaches = result.row_count(reaches);
    }
    return rows;
}

}  // namespace eaveshed
