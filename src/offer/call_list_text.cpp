#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <iterator>

#include "eaveshed/fieldbook/call_table.hpp"
#include "eaveshed/offer/call_list.hpp"
#include "eaveshed/offer/list_numbers.hpp"
#include "eaveshed/record/values.hpp"
#include "eaveshed/words/text_lines.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

// What the columns of a list have in common.
struct ListStyle {
    ListNumbers numbers;
    std::string currency;
};

struct ListColumn {
    SheetColumn column;
    std::function<Value(const ParcelRow& row)> value;
};

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
        {{std::string(kAskFirst), 60.0}, [](const ParcelRow& row) { return to_value(row.ask_first); }},
        {{fmt::format("Added stream gain ({})", of.unit("L/s")), 11.0},
         [of](const ParcelRow& row) { return of.flow(row.added_gain_lps); }},
        {{fmt::format("Take replaced beyond present storage ({} a season)", volume), 13.0},
         [of](const ParcelRow& row) { return of.volume(row.added_forbearance_m3); }},
        {{fmt::format("Of it felt by the creek ({} a season)", volume), 12.0},
         [of](const ParcelRow& row) { return of.volume(felt_m3(row)); }},
        {{"Water source", 12.0}, [](const ParcelRow& row) { return to_value(row.water_source); }},
        {{fmt::format("Storage ({})", volume), 10.0}, [of](const ParcelRow& row) { return of.volume(row.storage_m3); }},
        {{fmt::format("Of it there already ({})", volume), 10.0},
         [of](const ParcelRow& row) { return of.volume(row.existing_storage_m3); }},
        {{"Tanks", 7.0}, [](const ParcelRow& row) { return to_value(row.tank_count); }},
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

// Which stream would feel it, and how much; of files with streams only.
std::vector<ListColumn> reach_columns(const CallList& list) {
    if (list.streams.empty()) {
        return {};
    }
    return {{{"Reach", 9.0}, [](const ParcelRow& row) { return to_value(row.reach_id); }},
            {{"Creek", 16.0},
             [&list](const ParcelRow& row) {
                 const std::uint32_t reach = list.streams.number(row.reach_id);
                 return reach != kNoReach ? to_value(list.streams.rows[reach].creek) : Value();
             }},
            {{"Added share of the reach's low flow (%)", 11.0}, [](const ParcelRow& row) {
                 return row.flags.has(Flag::unknown_source) ? Value() : ListNumbers::small_percent(row.low_flow_share);
             }}};
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
        {{"Pareto tier", 7.0}, [](const ParcelRow& row) { return to_value(row.pareto_tier); }},
        {{"Scenario", 10.0}, [](const ParcelRow& row) { return to_value(row.rank_scenario); }},
        {{"Roofs", 16.0}, [](const ParcelRow& row) { return to_value(row.connected_roofs); }},
        {{"Owner group", 8.0}, [](const ParcelRow& row) { return to_value(row.owner_group); }},
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
    append(columns, reach_columns(list));
    append(columns, place_columns(list));
    append(columns, rank_columns());
    for (const ListColumn& column : columns) {
        table.columns.push_back(column.column);
    }
    for (std::size_t i = 0; i < list.parcels.size(); ++i) {
        const ParcelRow& row = list.parcels[i];
        std::vector<Value>& cells = table.rows.emplace_back();
        cells.push_back(to_value(row.rank));
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
    std::string text = list.asked.empty() ? "" : wrapped_text("Whom to call " + list.asked, kPageColumns, 2) + "\n";
    text += call_heading(style);
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
    text += "\n" + wrapped_text(fmt::format("{} to ask{}; {} of the file are no candidates, or were not asked for.",
                                            counted(list.candidates, "parcel"), asked_words(list.asked),
                                            counted(list.left_out, "other parcel")),
                                kPageColumns, 0);
    return text + fmt::format(
                      "\"Added\" is what storage gives beyond what is there already; \"stays\" in how many of the\n"
                      "draws a parcel stays among the first {}.\n",
                      list.settings.rank.top);
}

}  // namespace eaveshed
