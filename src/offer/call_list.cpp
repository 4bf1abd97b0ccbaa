#include "eaveshed/offer/call_list.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <iterator>
#include <unordered_map>
#include <unordered_set>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/spelling.hpp"
#include "eaveshed/fieldbook/call_table.hpp"
#include "eaveshed/offer/list_numbers.hpp"
#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/ranking/ranking.hpp"
#include "eaveshed/record/columns.hpp"
#include "eaveshed/record/pad_row.hpp"
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

// What the columns of a list have in common.
struct ListStyle {
    ListNumbers numbers;
    std::string currency;
};

struct ListColumn {
    SheetColumn column;
    std::function<Value(const ParcelRow& row)> value;
};

template <typename T>
Value known(const std::optional<T>& value) {
    return value ? Value(*value) : Value();
}

// "low pressure": a word of a closed list for people.
template <typename Enum>
Value plain_word(const std::optional<Enum>& value) {
    return value ? Value(spaced(to_text(*value))) : Value();
}

Value three_decimals(const std::optional<double>& value) {
    constexpr double kThousand = 1000.0;
    return value ? Value(std::round(*value * kThousand) / kThousand) : Value();
}

constexpr std::string_view kAskFirst = "Ask first";

ListColumn blank(std::string_view heading, double width) {
    return {{std::string(heading), width}, [](const ParcelRow& /*row*/) { return Value(); }};
}

// What people fill in, with the present status: the program reads these columns back (fieldbook/call_table.hpp).
std::vector<ListColumn> contact_columns() {
    std::vector<std::string> words;
    for (const Term& term : terms_of<ContactStatus>()) {
        words.emplace_back(term.name);
    }
    return {{{std::string(CallHeadings::kStatus), 14.0, std::move(words)},
             [](const ParcelRow& row) { return Value(std::string(to_text(row.contact_status))); }},
            blank(CallHeadings::kDate, 12.0),
            blank(CallHeadings::kOutcome, 30.0),
            blank(CallHeadings::kNextStep, 30.0)};
}

// Of what storage adds, the part that the creek feels within the season; none where the source is not known.
std::optional<double> felt_m3(const ParcelRow& row) {
    if (!row.added_forbearance_m3 || !row.source_share || row.flags.has(Flag::unknown_source)) {
        return std::nullopt;
    }
    return *row.added_forbearance_m3 * *row.source_share;
}

// What a call is about.
std::vector<ListColumn> offer_columns(const ListStyle& style) {
    const ListNumbers& of = style.numbers;
    const std::string volume(of.unit("m3"));
    return {
        {{std::string(kAskFirst), 60.0}, [](const ParcelRow& row) { return known(row.ask_first); }},
        {{fmt::format("Added stream gain ({})", of.unit("L/s")), 11.0},
         [of](const ParcelRow& row) { return of.flow(row.added_gain_lps); }},
        {{fmt::format("Take replaced beyond present storage ({} a season)", volume), 13.0},
         [of](const ParcelRow& row) { return of.volume(row.added_forbearance_m3); }},
        {{fmt::format("Of it felt by the creek ({} a season)", volume), 12.0},
         [of](const ParcelRow& row) { return of.volume(felt_m3(row)); }},
        {{"Water source", 12.0}, [](const ParcelRow& row) { return known(row.water_source); }},
        {{fmt::format("Storage ({})", volume), 10.0}, [of](const ParcelRow& row) { return of.volume(row.storage_m3); }},
        {{fmt::format("Of it there already ({})", volume), 10.0},
         [of](const ParcelRow& row) { return of.volume(row.existing_storage_m3); }},
        {{"Tanks", 7.0}, [](const ParcelRow& row) { return known(row.tank_count); }},
        {{"Delivery", 13.0}, [](const ParcelRow& row) { return plain_word(row.delivery); }},
        {{"Works without a pump?", 11.0}, [](const ParcelRow& row) { return plain_word(row.gravity_check); }},
        {{"Probability of that (%)", 11.0},
         [](const ParcelRow& row) { return ListNumbers::percent(row.gravity_probability); }},
        {{fmt::format("Pressure ({})", of.unit("kPa")), 9.0},
         [of](const ParcelRow& row) { return of.pressure(row.pressure_kpa); }},
        {{"Seasons served in full (%)", 11.0},
         [](const ParcelRow& row) { return ListNumbers::percent(row.season_reliability); }},
        {{fmt::format("Cost ({})", style.currency), 11.0},
         [](const ParcelRow& row) { return ListNumbers::money(row.cost); }},
        {{fmt::format("Cost per {} of one season ({})", volume, style.currency), 11.0},
         [of](const ParcelRow& row) { return of.money_per_volume(row.cost_per_m3); }},
    };
}

// Where its pad is, for a navigator; empty without one.
std::vector<ListColumn> place_columns(const CallList& list) {
    const auto degrees = [&list](double Degrees::*coordinate) {
        return [&list, coordinate](const ParcelRow& row) {
            const auto found = list.pads.find(row.parcel_id);
            return found != list.pads.end() ? Value(found->second.*coordinate) : Value();
        };
    };
    return {{{"Longitude", 11.0}, degrees(&Degrees::longitude_deg)},
            {{"Latitude", 11.0}, degrees(&Degrees::latitude_deg)}};
}

// How it came to stand where it stands.
std::vector<ListColumn> rank_columns() {
    return {
        {{"Score (0 to 1)", 8.0}, [](const ParcelRow& row) { return three_decimals(row.score); }},
        {{"Stays in the top (% of draws)", 10.0},
         [](const ParcelRow& row) { return ListNumbers::percent(row.rank_stability); }},
        {{"Pareto tier", 7.0}, [](const ParcelRow& row) { return known(row.pareto_tier); }},
        {{"Scenario", 10.0}, [](const ParcelRow& row) { return known(row.rank_scenario); }},
        {{"Roofs", 16.0}, [](const ParcelRow& row) { return known(row.connected_roofs); }},
        {{"Owner group", 8.0}, [](const ParcelRow& row) { return known(row.owner_group); }},
        {{"Flags", 30.0}, [](const ParcelRow& row) { return Value(to_text(row.flags)); }},
    };
}

// A name that the reader of lists would take for a column of ours is told apart.
std::string carried_heading(const std::string& name) {
    const bool ours =
        std::ranges::any_of(CallHeadings::kAll, [&](std::string_view own) { return same_heading(own, name); });
    return ours ? name + " (parcels)" : name;
}

void append(std::vector<ListColumn>& columns, std::vector<ListColumn> more) {
    std::ranges::move(more, std::back_inserter(columns));
}

}  // namespace

std::vector<std::string> weight_names() {
    std::vector<std::string> names;
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

namespace {

// A row that is read back and not called from: no contact fields, no figures.
void add_kept(const ParcelRow& row, Sheet& table) {
    std::vector<Value> cells(table.columns.size());
    for (std::size_t i = 0; i < table.columns.size(); ++i) {
        const std::string& heading = table.columns[i].title;
        if (heading == CallHeadings::kParcel) {
            cells[i] = row.parcel_id;
        } else if (heading == CallHeadings::kStatus) {
            cells[i] = std::string(to_text(row.contact_status));
        } else if (heading == kAskFirst) {
            cells[i] = std::string("Not to be called from this list: kept so that the status is not lost.");
        }
    }
    table.rows.push_back(std::move(cells));
}

}  // namespace

Sheet call_table(const CallList& list) {
    constexpr double kContactWidth = 24.0;
    const ListStyle style{ListNumbers(list.settings.output.units), list.settings.cost.currency};
    Sheet table{"calls", {{"Rank", 6.0}, {std::string(CallHeadings::kParcel), 14.0}}, {}};
    for (const std::string& name : list.contacts.names) {
        table.columns.push_back({carried_heading(name), kContactWidth});
    }
    std::vector<ListColumn> columns = contact_columns();
    append(columns, offer_columns(style));
    append(columns, place_columns(list));
    append(columns, rank_columns());
    for (const ListColumn& column : columns) {
        table.columns.push_back(column.column);
    }
    for (std::size_t i = 0; i < list.parcels.size(); ++i) {
        const ParcelRow& row = list.parcels[i];
        std::vector<Value>& cells = table.rows.emplace_back();
        cells.push_back(known(row.rank));
        cells.emplace_back(row.parcel_id);
        if (!list.contacts.names.empty()) {
            const auto& entries = list.contacts.entries.at(i);
            cells.insert(cells.end(), entries.begin(), entries.end());
        }
        for (const ListColumn& column : columns) {
            cells.push_back(column.value(row));
        }
    }
    for (const ParcelRow& row : list.kept) {
        add_kept(row, table);
    }
    return table;
}

namespace {

constexpr std::string_view kCallLine = "{:>4}  {:<12} {:>8} {:>9} {:>7}  {:<12} {:<11} {:>8} {:>5}  {:<12}\n";

// So many characters, the last ones dots where the text is longer.
std::string cut(const std::string& text, std::size_t width) {
    constexpr std::size_t kDots = 3;
    return text.size() <= width ? printable(text, width) : printable(text, width - kDots);
}

std::string call_heading(const ListStyle& style) {
    const std::string_view volume = style.numbers.unit("m3");
    std::string text = fmt::format(kCallLine, "rank", "parcel", "added", "added", "storage", "delivery", "without",
                                   "cost", "stays", "status");
    return text + fmt::format(kCallLine, "", "", style.numbers.unit("L/s"), fmt::format("{}/season", volume), volume,
                              "", "a pump?", cut(style.currency, 8), "%", "");
}

std::string call_line(const ParcelRow& row, const ListStyle& style) {
    const ListNumbers& of = style.numbers;
    return fmt::format(kCallLine, row.rank.value_or(0), cut(row.parcel_id, 12), list_text(of.flow(row.added_gain_lps)),
                       list_text(of.volume(row.added_forbearance_m3)), list_text(of.volume(row.storage_m3)),
                       list_text(plain_word(row.delivery)), list_text(plain_word(row.gravity_check)),
                       list_text(ListNumbers::money(row.cost)), list_text(ListNumbers::percent(row.rank_stability)),
                       list_text(plain_word(std::optional(row.contact_status))));
}

}  // namespace

std::string call_text(const CallList& list, std::size_t rows) {
    const ListStyle style{ListNumbers(list.settings.output.units), list.settings.cost.currency};
    std::string text = call_heading(style);
    for (std::size_t i = 0; i < std::min(rows, list.parcels.size()); ++i) {
        text += call_line(list.parcels[i], style);
    }
    if (list.parcels.size() > rows) {
        text += fmt::format("      and {} more in the list\n", list.parcels.size() - rows);
    }
    const std::string& by = list.settings.rank.scenario;
    if (by == kScenarioWorst) {
        text += "\nRanked by each parcel's worst scenario: volumes and gains are those of it.\n";
    } else if (by != kScenarioNow) {
        text += fmt::format("\nRanked by the scenario \"{}\": volumes and gains are those of it.\n", printable(by));
    }
    return text +
           fmt::format(
               "\n{} to ask; {} of the file are no candidates, or were not asked for.\n\"Added\" is what storage gives "
               "beyond what is there already; \"stays\" in how many of the\ndraws a parcel stays among the "
               "first {}.\n",
               counted(list.candidates, "parcel"), counted(list.left_out, "other parcel"), list.settings.rank.top);
}

}  // namespace eaveshed
