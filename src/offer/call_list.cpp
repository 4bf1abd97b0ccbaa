#include "eaveshed/offer/call_list.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <unordered_map>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/spelling.hpp"
#include "eaveshed/ranking/ranking.hpp"
#include "eaveshed/record/read_values.hpp"
#include "eaveshed/result/recorded_run.hpp"
#include "eaveshed/result/result_reader.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

struct Weight {
    const char* name;
    double RankSettings::*value;
};
constexpr std::array kWeights{
    Weight{"stream_gain", &RankSettings::weight_stream_gain},
    Weight{"low_flow_share", &RankSettings::weight_low_flow_share}, Weight{"gravity", &RankSettings::weight_gravity},
    Weight{"cost", &RankSettings::weight_cost}, Weight{"reliability", &RankSettings::weight_reliability}};

void set_weight(const std::string& name, double value, RankSettings& settings) {
    const auto found = std::ranges::find(kWeights, name, [](const Weight& weight) { return std::string(weight.name); });
    if (found == kWeights.end()) {
        throw input_error("--weight", fmt::format("\"{}\"", printable(name)), "one of " + listed(weight_names()),
                          did_you_mean(name, weight_names(), ""));
    }
    if (!std::isfinite(value) || value < 0.0) {
        throw input_error("--weight " + name, fmt::format("{}", value), "a number from 0 on",
                          "0 leaves the component out");
    }
    settings.*(found->value) = value;
}

void set_scenario(const std::string& name, const std::string& file, Settings& settings) {
    std::vector<std::string> known{std::string(kScenarioNow)};
    if (!settings.scenarios.empty()) {
        known.emplace_back(kScenarioWorst);
    }
    for (const ScenarioSettings& scenario : settings.scenarios) {
        known.push_back(scenario.name);
    }
    if (std::ranges::find(known, name) == known.end()) {
        const bool none = settings.scenarios.empty();
        throw input_error("--scenario",
                          fmt::format("\"{}\"{}", printable(name), none ? " and no scenarios in " + file : ""),
                          none ? "a file that was screened with [[scenarios]]" : "one of " + listed(known),
                          none ? "add [[scenarios]] to the project and screen again"
                               : did_you_mean(name, known, "name one of these"));
    }
    settings.rank.scenario = name;
}

// The scenarios of every parcel, by its id.
using ScenariosOf = std::unordered_map<std::string, std::vector<ScenarioRow>>;

ScenariosOf read_scenarios(const ResultReader& result, const Settings& settings) {
    ScenariosOf found;
    if (settings.rank.scenario == kScenarioNow) {
        return found;
    }
    const std::string table(ScenarioRow::kTable.name);
    const RowReader<ScenarioRow> reader(result.columns(table));
    result.each_row(table, "parcel_id IS NOT NULL", table, [&](const std::vector<Value>& values) {
        ScenarioRow row = reader(values);
        std::string parcel = row.parcel_id.value_or("");
        found[std::move(parcel)].push_back(std::move(row));
    });
    return found;
}

// Those of a row. Several parcels may have one id: the volume as screened tells them apart.
std::vector<ScenarioRow> scenarios_of(const ParcelRow& row, const ScenariosOf& all) {
    std::vector<ScenarioRow> own;
    const auto found = all.find(row.parcel_id);
    if (found != all.end()) {
        std::ranges::copy_if(found->second, std::back_inserter(own), [&](const ScenarioRow& scenario) {
            return scenario.forbearance_now_m3 == row.forbearance_m3;
        });
    }
    return own;
}

// Parcels of one owner stand together, where the best of them stands: they are one call.
void group_owners(std::vector<ParcelRow>& parcels) {
    std::unordered_map<std::int64_t, std::int64_t> best;
    for (const ParcelRow& row : parcels) {
        if (row.owner_group) {
            best.try_emplace(*row.owner_group, *row.rank);
        }
    }
    std::ranges::stable_sort(parcels, {}, [&](const ParcelRow& row) {
        return std::pair(row.owner_group ? best.at(*row.owner_group) : *row.rank, *row.rank);
    });
}

template <typename T>
Value value_of_optional(const std::optional<T>& value) {
    return value ? Value(*value) : Value();
}

struct ListColumn {
    SheetColumn column;
    Value (*value)(const ParcelRow& row);
};

template <typename Enum>
Value word(const std::optional<Enum>& value) {
    return value ? Value(std::string(to_text(*value))) : Value();
}

const std::vector<ListColumn>& list_columns() {
    static const std::vector<ListColumn> kColumns{
        {{"Rank", 6.0}, [](const ParcelRow& row) { return value_of_optional(row.rank); }},
        {{"Parcel", 14.0}, [](const ParcelRow& row) { return Value(row.parcel_id); }},
        {{"Ask first", 60.0}, [](const ParcelRow& row) { return value_of_optional(row.ask_first); }},
        {{"Scenario", 10.0}, [](const ParcelRow& row) { return value_of_optional(row.rank_scenario); }},
        {{"Forbearance, m3 a season", 12.0},
         [](const ParcelRow& row) { return value_of_optional(row.forbearance_m3); }},
        {{"Stream gain, L/s", 10.0}, [](const ParcelRow& row) { return value_of_optional(row.instream_gain_lps); }},
        {{"Water source", 12.0}, [](const ParcelRow& row) { return value_of_optional(row.water_source); }},
        {{"Storage, m3", 10.0}, [](const ParcelRow& row) { return value_of_optional(row.storage_m3); }},
        {{"Tanks", 7.0}, [](const ParcelRow& row) { return value_of_optional(row.tank_count); }},
        {{"Delivery", 13.0}, [](const ParcelRow& row) { return word(row.delivery); }},
        {{"Without a pump?", 11.0}, [](const ParcelRow& row) { return word(row.gravity_check); }},
        {{"Gravity probability", 11.0},
         [](const ParcelRow& row) { return value_of_optional(row.gravity_probability); }},
        {{"Season reliability", 11.0}, [](const ParcelRow& row) { return value_of_optional(row.season_reliability); }},
        {{"Cost", 10.0}, [](const ParcelRow& row) { return value_of_optional(row.cost); }},
        {{"Cost per m3 of one season", 11.0}, [](const ParcelRow& row) { return value_of_optional(row.cost_per_m3); }},
        {{"Score", 8.0}, [](const ParcelRow& row) { return value_of_optional(row.score); }},
        {{"Rank stability", 9.0}, [](const ParcelRow& row) { return value_of_optional(row.rank_stability); }},
        {{"Pareto tier", 7.0}, [](const ParcelRow& row) { return value_of_optional(row.pareto_tier); }},
        {{"Roofs", 16.0}, [](const ParcelRow& row) { return value_of_optional(row.connected_roofs); }},
        {{"Owner group", 8.0}, [](const ParcelRow& row) { return value_of_optional(row.owner_group); }},
        {{"Flags", 30.0}, [](const ParcelRow& row) { return Value(to_text(row.flags)); }},
    };
    return kColumns;
}

}  // namespace

std::vector<std::string> weight_names() {
    std::vector<std::string> names;
    for (const Weight& weight : kWeights) {
        names.emplace_back(weight.name);
    }
    return names;
}

CallList call_list(const RankRequest& request, Findings& findings) {
    const ResultReader result(request.file, findings);
    CallList list;
    list.settings = recorded_settings(result, request.file);
    if (request.lists.any()) {
        require_lists(request.lists, recorded_paths(list.settings, request.file, request.project));
    }
    for (const auto& [name, value] : request.weights) {
        set_weight(name, value, list.settings.rank);
    }
    if (request.draws >= 0) {
        list.settings.rank.draws = request.draws;
    }
    if (!request.scenario.empty()) {
        set_scenario(request.scenario, request.file, list.settings);
    }
    const ScenariosOf scenarios = read_scenarios(result, list.settings);
    Ranking ranking(list.settings);
    std::vector<ParcelRow> rows;
    each_parcel(result, request.file, request.where, [&](ParcelRow&& row) {
        const auto own = scenarios_of(row, scenarios);
        row = ranked_row(std::move(row), own, list.settings.rank.scenario);
        if (is_candidate(row)) {
            ranking.add_ranked(static_cast<std::uint32_t>(rows.size()), row);
            rows.push_back(std::move(row));
        }
    });
    ranking.compute(request.threads);
    list.candidates = rows.size();
    list.left_out = result.row_count(std::string(ParcelRow::kTable.name)) - rows.size();
    for (const std::uint32_t position : ranking.order()) {
        if (request.top > 0 && list.parcels.size() >= static_cast<std::size_t>(request.top)) {
            break;
        }
        ranking.fill(position, rows[position]);
        list.parcels.push_back(std::move(rows[position]));
    }
    group_owners(list.parcels);
    if (request.lists.any()) {
        std::vector<std::string> ids;
        for (const ParcelRow& row : list.parcels) {
            ids.push_back(row.parcel_id);
        }
        list.contacts = contact_fields(list.settings, request.file, request.project, ids);
    }
    return list;
}

Sheet call_table(const CallList& list) {
    constexpr double kContactWidth = 24.0;
    constexpr std::size_t kBeforeContacts = 2;
    Sheet table{"calls", {}, {}};
    const auto& columns = list_columns();
    for (std::size_t i = 0; i < columns.size(); ++i) {
        if (i == kBeforeContacts) {
            for (const std::string& name : list.contacts.names) {
                table.columns.push_back({name, kContactWidth});
            }
        }
        table.columns.push_back(columns[i].column);
    }
    for (std::size_t row = 0; row < list.parcels.size(); ++row) {
        std::vector<Value>& cells = table.rows.emplace_back();
        for (std::size_t i = 0; i < columns.size(); ++i) {
            if (i == kBeforeContacts && !list.contacts.names.empty()) {
                const auto& entries = list.contacts.entries[row];
                cells.insert(cells.end(), entries.begin(), entries.end());
            }
            cells.push_back(columns[i].value(list.parcels[row]));
        }
    }
    return table;
}

std::string call_text(const CallList& list, std::size_t rows) {
    constexpr std::string_view kLine = "{:>5}  {:<14} {:>6} {:>10} {:>9} {:>10} {:<13} {:>6} {:>9}\n";
    std::string text = fmt::format(kLine, "rank", "parcel", "score", "m3/season", "gain L/s", "storage m3", "delivery",
                                   "tier", "stability");
    const auto number = [](const std::optional<double>& value, int digits) {
        return value ? fmt::format("{:.{}f}", *value, digits) : std::string("-");
    };
    for (std::size_t i = 0; i < std::min(rows, list.parcels.size()); ++i) {
        const ParcelRow& row = list.parcels[i];
        text += fmt::format(kLine, row.rank.value_or(0), printable(row.parcel_id, 14), number(row.score, 3),
                            number(row.forbearance_m3, 1), number(row.instream_gain_lps, 4), number(row.storage_m3, 1),
                            row.delivery ? to_text(*row.delivery) : "-", row.pareto_tier.value_or(0),
                            number(row.rank_stability, 2));
    }
    if (list.parcels.size() > rows) {
        text += fmt::format("       and {} more in the list\n", list.parcels.size() - rows);
    }
    const std::string& by = list.settings.rank.scenario;
    if (by == kScenarioWorst) {
        text += "\nRanked by each parcel's worst scenario: volumes and gains are those of it.\n";
    } else if (by != kScenarioNow) {
        text += fmt::format("\nRanked by the scenario \"{}\": volumes and gains are those of it.\n", printable(by));
    }
    return text + fmt::format("\n{} candidates; {} other parcels of the file are none, or were not asked for\n",
                              list.candidates, list.left_out);
}

}  // namespace eaveshed
