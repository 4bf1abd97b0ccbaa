#include "eaveshed/compare/compared_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "eaveshed/core/error.hpp"
#include "eaveshed/record/output_rows.hpp"
#include "eaveshed/words/version.hpp"

namespace eaveshed {

namespace {

// From this column on a table's columns belong to a step, until the next.
struct StepBegins {
    std::string_view column;
    ChangeStep step;
};

// A column that is added to the table's list belongs to the step of those around it.
constexpr std::array kRoofSteps{
    StepBegins{column_name(&RoofRow::roof_id), ChangeStep::standing},
    StepBegins{column_name(&RoofRow::flags), ChangeStep::flags},
    StepBegins{column_name(&RoofRow::plan_area_m2), ChangeStep::area},
    StepBegins{column_name(&RoofRow::ground_elev_m), ChangeStep::elevation},
    StepBegins{column_name(&RoofRow::fill_rain_mm), ChangeStep::harvest},
    StepBegins{column_name(&RoofRow::demand_m3), ChangeStep::demand},
    StepBegins{column_name(&RoofRow::storage_m3), ChangeStep::storage},
    StepBegins{column_name(&RoofRow::delivery), ChangeStep::pad},
};
constexpr std::array kParcelSteps{
    StepBegins{column_name(&ParcelRow::parcel_id), ChangeStep::standing},
    StepBegins{column_name(&ParcelRow::contact_status), ChangeStep::contact},
    StepBegins{column_name(&ParcelRow::flags), ChangeStep::flags},
    StepBegins{column_name(&ParcelRow::owner_group), ChangeStep::standing},
    StepBegins{column_name(&ParcelRow::inside_share), ChangeStep::elevation},
    StepBegins{column_name(&ParcelRow::roof_count), ChangeStep::area},
    StepBegins{column_name(&ParcelRow::roofs_harvest_mean_m3), ChangeStep::harvest},
    StepBegins{column_name(&ParcelRow::plan_area_m2), ChangeStep::area},
    StepBegins{column_name(&ParcelRow::harvest_mean_m3), ChangeStep::harvest},
    StepBegins{column_name(&ParcelRow::demand_m3), ChangeStep::demand},
    StepBegins{column_name(&ParcelRow::storage_m3), ChangeStep::storage},
    StepBegins{column_name(&ParcelRow::water_source), ChangeStep::source},
    StepBegins{column_name(&ParcelRow::instream_gain_lps), ChangeStep::storage},
    StepBegins{column_name(&ParcelRow::pump_lps), ChangeStep::source},
    StepBegins{column_name(&ParcelRow::season_reliability), ChangeStep::storage},
    StepBegins{column_name(&ParcelRow::delivery), ChangeStep::pad},
    StepBegins{column_name(&ParcelRow::existing_storage_m3), ChangeStep::storage},
    StepBegins{column_name(&ParcelRow::road_distance_m), ChangeStep::pad},
    StepBegins{column_name(&ParcelRow::cost), ChangeStep::cost},
    StepBegins{column_name(&ParcelRow::score), ChangeStep::ranking},
};

constexpr std::array<std::string_view, kMeasures> kMeasureColumns{column_name(&ParcelRow::rank),
                                                                  column_name(&ParcelRow::delivery),
                                                                  column_name(&ParcelRow::storage_m3),
                                                                  column_name(&ParcelRow::forbearance_m3),
                                                                  column_name(&ParcelRow::added_forbearance_m3),
                                                                  column_name(&ParcelRow::instream_gain_lps),
                                                                  column_name(&ParcelRow::added_gain_lps),
                                                                  column_name(&ParcelRow::cost)};

// The columns of the two files that the program writes, with their steps.
class TableInBoth {
public:
    TableInBoth(const OutputTable& output, std::span<const StepBegins> steps, const ResultReader& before,
                const ResultReader& after)
        : m_files{before.columns(std::string(output.table.name)), after.columns(std::string(output.table.name))} {
        m_table.name = output.table.name;
        m_table.noun = output.table.name == ParcelRow::kTable.name ? "parcel" : "roof";
        ChangeStep step = ChangeStep::standing;
        for (const Column& column : output.columns) {
            const auto begins = std::ranges::find(steps, column.field.name, &StepBegins::column);
            step = begins == steps.end() ? step : begins->step;
            const std::string name(column.field.name);
            const auto has = [&](const std::vector<std::string>& names) {
                return std::ranges::find(names, name) != names.end();
            };
            if (!has(m_files[0]) || !has(m_files[1])) {
                m_table.only_some.push_back(name);
                continue;
            }
            m_table.columns.push_back(column);
            m_table.names.push_back(name);
            m_table.steps.push_back(step);
        }
        for (std::size_t i = 0; i < kMeasures; ++i) {
            m_table.measures.at(i) = find(kMeasureColumns.at(i));
        }
    }

    [[nodiscard]] ComparedTable& table() { return m_table; }
    [[nodiscard]] std::optional<std::size_t> find(std::string_view column) const {
        const auto found = std::ranges::find(m_table.names, column);
        return found == m_table.names.end() ? std::nullopt
                                            : std::optional(static_cast<std::size_t>(found - m_table.names.begin()));
    }
    // The position of a column that cannot be done without.
    [[nodiscard]] std::size_t need(std::string_view column, const std::string& before, const std::string& after) const {
        if (const auto found = find(column)) {
            return *found;
        }
        const bool in_before = std::ranges::find(m_files[0], column) != m_files[0].end();
        throw input_error(in_before ? after : before, fmt::format("no column {} in its table {}", column, m_table.name),
                          "a file of this version, " + program_version(), "screen the basin again");
    }

private:
    ComparedTable m_table;
    std::array<std::vector<std::string>, 2> m_files;
};

}  // namespace

std::optional<ChangeStep> ChangeSteps::first() const {
    for (std::size_t i = 0; i < terms_of<ChangeStep>().size(); ++i) {
        if (has(static_cast<ChangeStep>(i))) {
            return static_cast<ChangeStep>(i);
        }
    }
    return std::nullopt;
}

std::string ChangeSteps::text() const {
    std::string text;
    for (std::size_t i = 0; i < terms_of<ChangeStep>().size(); ++i) {
        if (has(static_cast<ChangeStep>(i))) {
            text += (text.empty() ? "" : ", ") + std::string(terms_of<ChangeStep>()[i].name);
        }
    }
    return text;
}

ComparedTable compared_parcels(const ResultReader& before, const ResultReader& after, const std::string& before_name,
                               const std::string& after_name) {
    TableInBoth both(output_tables()[kTableOf<ParcelRow>], kParcelSteps, before, after);
    const auto need = [&](std::string_view column) { return both.need(column, before_name, after_name); };
    both.table().id = need(column_name(&ParcelRow::parcel_id));
    both.table().volume = need(column_name(&ParcelRow::added_forbearance_m3));
    both.table().gain = need(column_name(&ParcelRow::added_gain_lps));
    both.table().storage = need(column_name(&ParcelRow::storage_m3));
    both.table().rank = need(column_name(&ParcelRow::rank));
    both.table().contact = need(column_name(&ParcelRow::contact_status));
    (void)need(column_name(&ParcelRow::delivery));
    (void)need(column_name(&ParcelRow::cost));
    for (const std::string_view list :
         {column_name(&ParcelRow::connected_roofs), column_name(&ParcelRow::unconnected_roofs)}) {
        if (const auto place = both.find(list)) {
            both.table().roof_lists.push_back(*place);
        }
    }
    return std::move(both.table());
}

ComparedTable compared_roofs(const ResultReader& before, const ResultReader& after, const std::string& before_name,
                             const std::string& after_name) {
    TableInBoth both(output_tables()[kTableOf<RoofRow>], kRoofSteps, before, after);
    const auto need = [&](std::string_view column) { return both.need(column, before_name, after_name); };
    both.table().id = need(column_name(&RoofRow::roof_id));
    both.table().volume = need(column_name(&RoofRow::forbearance_m3));
    both.table().gain = need(column_name(&RoofRow::instream_gain_lps));
    both.table().storage = need(column_name(&RoofRow::storage_m3));
    both.table().parcel = need(column_name(&RoofRow::parcel_id));
    (void)need(column_name(&RoofRow::delivery));
    return std::move(both.table());
}

const Field& field_of(Measure measure) {
    const std::vector<Column>& columns = output_tables()[kTableOf<ParcelRow>].columns;
    const std::string_view name = kMeasureColumns.at(static_cast<std::size_t>(measure));
    const auto found = std::ranges::find(columns, name, [](const Column& column) { return column.field.name; });
    return found->field;
}

bool same_value(const Value& before, const Value& after) {
    constexpr double kAlike = 1e-9;
    const auto* const a = std::get_if<double>(&before);
    const auto* const b = std::get_if<double>(&after);
    if (a != nullptr && b != nullptr && *a != *b) {
        return std::abs(*a - *b) <= kAlike * std::max(std::abs(*a), std::abs(*b));
    }
    return before == after;
}

namespace {

// The roofs of a list as they are called now, sorted.
std::vector<std::string> roofs_of(const std::string& list, const std::map<std::string, std::string>& renamed) {
    std::vector<std::string> roofs;
    for (std::size_t begin = 0; begin <= list.size();) {
        const std::size_t end = std::min(list.find(',', begin), list.size());
        const std::string roof = list.substr(begin, end - begin);
        const auto now = renamed.find(roof);
        roofs.push_back(now == renamed.end() ? roof : now->second);
        begin = end + 1;
    }
    std::ranges::sort(roofs);
    return roofs;
}

}  // namespace

std::vector<std::size_t> changed_columns(const ComparedTable& table, const std::vector<Value>& before,
                                         const std::vector<Value>& after) {
    std::vector<std::size_t> changed;
    for (std::size_t i = 0; i < table.columns.size(); ++i) {
        if (i == table.id || same_value(before[i], after[i])) {
            continue;
        }
        const bool roofs = std::ranges::find(table.roof_lists, i) != table.roof_lists.end();
        if (!roofs || roofs_of(text_in(before[i]), table.renamed_roofs) != roofs_of(text_in(after[i]), {})) {
            changed.push_back(i);
        }
    }
    return changed;
}

ChangeSteps steps_of(const ComparedTable& table, const std::vector<std::size_t>& columns) {
    ChangeSteps steps;
    for (const std::size_t i : columns) {
        steps.add(table.steps[i]);
    }
    return steps;
}

std::optional<double> number_in(const Value& value) {
    if (const auto* const real = std::get_if<double>(&value)) {
        return std::isfinite(*real) ? std::optional(*real) : std::nullopt;
    }
    const auto* const whole = std::get_if<std::int64_t>(&value);
    return whole != nullptr ? std::optional(static_cast<double>(*whole)) : std::nullopt;
}

std::string text_in(const Value& value) {
    if (const auto* const whole = std::get_if<std::int64_t>(&value)) {
        return std::to_string(*whole);
    }
    const auto* const text = std::get_if<std::string>(&value);
    return text != nullptr ? *text : std::string();
}

}  // namespace eaveshed
