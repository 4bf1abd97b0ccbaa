#include "eaveshed/offer/call_list.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <unordered_map>
#include <unordered_set>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/spelling.hpp"
#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/ranking/ranking.hpp"
#include "eaveshed/record/columns.hpp"
#include "eaveshed/record/pad_row.hpp"
#include "eaveshed/result/read_values.hpp"
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
    const auto* const found =
        std::ranges::find(kWeights, name, [](const Weight& weight) { return std::string(weight.name); });
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

ScenariosOf read_scenarios(const ResultReader& result, const std::string& file, const Settings& settings) {
    ScenariosOf found;
    if (settings.rank.scenario == kScenarioNow) {
        return found;
    }
    const std::string table(ScenarioRow::kTable.name);
    const RowReader<ScenarioRow> reader(file, result.columns(table));
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

}  // namespace

std::vector<std::string> weight_names() {
    std::vector<std::string> names;
    names.reserve(kWeights.size());
    for (const Weight& weight : kWeights) {
        names.emplace_back(weight.name);
    }
    return names;
}

namespace {

// Whatever the list was narrowed to.
std::vector<ParcelRow> known_of_others(const ResultReader& result, const std::string& file,
                                       const std::vector<ParcelRow>& listed) {
    std::unordered_set<std::string> ids;
    for (const ParcelRow& row : listed) {
        ids.insert(row.parcel_id);
    }
    std::vector<ParcelRow> kept;
    each_parcel(result, file, "", [&](ParcelRow&& row) {
        if (row.contact_status != ContactStatus::candidate && ids.insert(row.parcel_id).second) {
            kept.push_back(std::move(row));
        }
    });
    return kept;
}

}  // namespace

namespace {

// Of parcels with the same id only the first was computed: an id has one pad.
std::unordered_map<std::string, Degrees> pads_of_parcels(const ResultReader& result) {
    std::unordered_map<std::string, Degrees> pads;
    const std::string table(PadRow::kTable.name);
    const std::string definition = result.layer_crs(table);
    if (definition.empty()) {
        return pads;
    }
    const ToDegrees to_degrees(crs_from_text(definition, table), wgs84());
    for (const auto& pad :
         result.points_where(table, std::string(column_name(&PadRow::parcel_id)),
                             std::string(column_name(&PadRow::level)), std::string(to_text(PadLevel::parcel)))) {
        if (const auto degrees = to_degrees(pad.place)) {
            pads.emplace(pad.key, *degrees);
        }
    }
    return pads;
}

}  // namespace

CallList call_list(const RankRequest& request, Findings& findings) {
    const ResultReader result = open_result(request.file, findings);
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
    list.streams = reaches_of_file(result, request.file);
    const ReachFilter asked(list.streams, request.reaches, request.file);
    list.asked = asked.words();
    const ScenariosOf scenarios = read_scenarios(result, request.file, list.settings);
    Ranking ranking(list.settings);
    std::vector<ParcelRow> rows;
    each_parcel(result, request.file, request.where, [&](ParcelRow&& row) {
        if (!asked.holds(list.streams.number(row.reach_id))) {
            return;
        }
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
        list.kept = known_of_others(result, request.file, list.parcels);
        std::vector<std::string> ids;
        for (const ParcelRow& row : list.parcels) {
            ids.push_back(row.parcel_id);
        }
        list.pads = pads_of_parcels(result);
        list.contacts = contact_fields(list.settings, request.file, request.project, ids);
    }
    return list;
}

}  // namespace eaveshed
