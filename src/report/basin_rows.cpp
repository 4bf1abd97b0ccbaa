#include "eaveshed/report/basin_rows.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <tuple>

#include "eaveshed/core/error.hpp"
#include "eaveshed/offer/parcels_of_file.hpp"
#include "eaveshed/record/columns.hpp"
#include "eaveshed/record/reach_row.hpp"
#include "eaveshed/record/read_values.hpp"
#include "eaveshed/words/wording.hpp"

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
void each_row_of(const ResultReader& result, const std::function<void(Row&&)>& visit) {
    const std::string table(Row::kTable.name);
    const RowReader<Row> reader(result.columns(table));
    result.each_row(table, "", table, [&](const std::vector<Value>& values) { visit(reader(values)); });
}

// The SQL condition that finds a value of a numeric column which is no number: a text or blob, or one that is not
// finite.
std::string no_number(std::string_view column) {
    return fmt::format("typeof(\"{0}\") NOT IN ('real', 'integer', 'null') OR abs(\"{0}\") > 1.7e308", column);
}

bool is_number(const Value& value) {
    const auto* const real = std::get_if<double>(&value);
    return real != nullptr
               ? std::isfinite(*real)
               : std::holds_alternative<std::int64_t>(value) || std::holds_alternative<std::monostate>(value);
}

// A file that was edited by hand may hold anything: a word where a number belongs would be taken for nothing known.
template <typename Row>
void require_numbers(const ResultReader& result, const std::string& file, std::string_view id_column) {
    const std::string table(Row::kTable.name);
    const std::vector<std::string> there = result.columns(table);
    std::vector<std::string> numeric;
    std::string condition;
    for (const Column& column : columns_of<Row>()) {
        const std::string name(column.field.name);
        if (column.type == ColumnType::real && std::ranges::find(there, name) != there.end()) {
            numeric.push_back(name);
            condition += (condition.empty() ? "" : " OR ") + no_number(name);
        }
    }
    const auto place_of = [&](std::string_view name) {
        return static_cast<std::size_t>(std::ranges::find(there, name) - there.begin());
    };
    result.first_rows(table, condition, "rowid", 1, [&](const std::vector<Value>& values) {
        const auto bad = std::ranges::find_if(
            numeric, [&](const std::string& name) { return !is_number(values.at(place_of(name))); });
        const std::size_t id_place = place_of(id_column);
        const auto* const id = id_place < values.size() ? std::get_if<std::string>(&values[id_place]) : nullptr;
        const auto* const text = bad == numeric.end() ? nullptr : std::get_if<std::string>(&values.at(place_of(*bad)));
        throw input_error(
            fmt::format("{}, table {}, column {}, row \"{}\"", file, table, bad == numeric.end() ? "not known" : *bad,
                        id == nullptr ? "" : printable(*id, 60)),
            text == nullptr ? std::string("a value that is no finite number")
                            : "the text \"" + printable(*text, 60) + "\"",
            "a number or null", "the file was changed after the screening: screen the basin again");
    });
}

std::vector<ScenarioSum> scenario_sums(const ResultReader& result) {
    std::vector<ScenarioSum> sums;
    if (!result.has_table(std::string(ScenarioRow::kTable.name))) {
        return sums;
    }
    each_row_of<ScenarioRow>(result, [&](ScenarioRow&& row) {
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

std::vector<const PlaceRow*> BasinRows::can_be_asked() const {
    std::vector<const PlaceRow*> some;
    for (const PlaceRow& place : places) {
        if (place.can_be_asked) {
            some.push_back(&place);
        }
    }
    std::ranges::stable_sort(some, std::ranges::less{}, [](const PlaceRow* place) {
        return std::tuple(place->rank.value_or(std::numeric_limits<std::int64_t>::max()),
                          -place->added_lps.value_or(0.0), -place->added_m3.value_or(0.0));
    });
    return some;
}

BasinRows read_basin(const ResultReader& result, const std::string& file, Findings& findings) {
    BasinRows rows{
        .facts = read_summary(result, file), .places = {}, .scenarios = scenario_sums(result), .enrolment = {}};
    if (rows.facts.of_parcels()) {
        require_numbers<ParcelRow>(result, file, column_name(&ParcelRow::parcel_id));
        each_parcel(result, file, "", [&](ParcelRow&& row) { rows.places.push_back(place_of_parcel(std::move(row))); });
        rows.enrolment = enrolment_curve({.file = file, .budget = {}, .target_lps = {}}, findings);
    } else {
        require_numbers<RoofRow>(result, file, column_name(&RoofRow::roof_id));
        each_row_of<RoofRow>(result, [&](RoofRow&& row) { rows.places.push_back(place_of_roof(std::move(row))); });
    }
    const std::string reaches(ReachRow::kTable.name);
    if (result.has_table(reaches)) {
        rows.reaches = result.row_count(reaches);
    }
    return rows;
}

}  // namespace eaveshed
