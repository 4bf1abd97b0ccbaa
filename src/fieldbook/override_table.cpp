#include "eaveshed/fieldbook/override_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <optional>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/spelling.hpp"
#include "eaveshed/geometry/footprint_geometry.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

using Row = OverrideRow;
constexpr OverrideKey kRoof = OverrideKey::roof;
constexpr OverrideKey kParcel = OverrideKey::parcel;
constexpr double kAnyPlace = 1.0e9;  // coordinates: what lies outside the basin is found when it is matched

// Wide limits: they catch slips of the pen and of the unit, not unusual houses.
constexpr std::array kNumbers{
    OverrideNumber{"eave_height_m", &Row::eave_height_m, kRoof, Measured::eave_height, 0.0, 100.0, true},
    OverrideNumber{"eave_elev_m", &Row::eave_elev_m, kRoof, Measured::eave_elev, -450.0, 9000.0},
    OverrideNumber{"connected_share", &Row::connected_share, kRoof, Measured::connected_share, 0.0, 1.0},
    OverrideNumber{"runoff_coefficient", &Row::runoff_coefficient, kRoof, Measured::runoff_coefficient, 0.0, 1.0},
    OverrideNumber{"pad_x", &Row::pad_x, kRoof, Measured::pad, -kAnyPlace, kAnyPlace},
    OverrideNumber{"pad_y", &Row::pad_y, kRoof, Measured::pad, -kAnyPlace, kAnyPlace},
    OverrideNumber{"people", &Row::people, kParcel, Measured::people, 0.0, 1.0e5},
    OverrideNumber{"irrigated_area_m2", &Row::irrigated_area_m2, kParcel, Measured::garden, 0.0, 1.0e8},
    OverrideNumber{"season_use_m3", &Row::season_use_m3, kParcel, Measured::season_use, 0.0, 1.0e7},
    OverrideNumber{"source_share", &Row::source_share, kParcel, Measured::source_share, 0.0, 1.0},
    OverrideNumber{"stream_distance_m", &Row::stream_distance_m, kParcel, Measured::stream_distance, 0.0, 1.0e6},
    OverrideNumber{"existing_storage_m3", &Row::existing_storage_m3, kParcel, Measured::existing_storage, 0.0, 1.0e6},
    OverrideNumber{"pump_lps", &Row::pump_lps, kParcel, Measured::pump, 0.0, 1.0e4},
    OverrideNumber{"use_x", &Row::use_x, kParcel, Measured::use_point, -kAnyPlace, kAnyPlace},
    OverrideNumber{"use_y", &Row::use_y, kParcel, Measured::use_point, -kAnyPlace, kAnyPlace},
};

constexpr std::array kTexts{
    OverrideText{"material", &Row::material, kRoof, Measured::material},
    OverrideText{"water_source", &Row::water_source, kParcel, Measured::water_source},
    OverrideText{"status", &Row::contact_status, kParcel, Measured::contact_status},
};

// Keys first; `who` and `note` may stand in the table and are never read.
constexpr std::array<std::string_view, 3> kKeys{"roof_id", "parcel_id", "date"};
constexpr std::array<std::string_view, 2> kLeftAlone{"who", "note"};

// The names to read, in one order: keys, numbers, texts. Empty where the table has no such column.
struct Columns {
    std::vector<std::string> names;
    [[nodiscard]] static std::size_t number(std::size_t i) { return kKeys.size() + i; }
    [[nodiscard]] static std::size_t text(std::size_t i) { return kKeys.size() + kNumbers.size() + i; }
};

std::vector<std::string_view> known_columns() {
    std::vector<std::string_view> known(kKeys.begin(), kKeys.end());
    std::ranges::transform(kNumbers, std::back_inserter(known), &OverrideNumber::name);
    std::ranges::transform(kTexts, std::back_inserter(known), &OverrideText::name);
    return known;
}

void warn_of_unknown(const VectorInfo& info, Findings& findings) {
    std::vector<std::string_view> known = known_columns();
    known.insert(known.end(), kLeftAlone.begin(), kLeftAlone.end());
    std::vector<std::string> unknown;
    for (const std::string& name : info.fields) {
        if (std::ranges::find(known, lower_case(name)) == known.end()) {
            const std::string_view near = closest_name(name, known);
            unknown.push_back(
                fmt::format("'{}'{}", printable(name), near.empty() ? "" : fmt::format(" (did you mean {}?)", near)));
        }
    }
    if (!unknown.empty()) {
        findings.warn({info.where, "columns that nothing reads: " + listed(unknown),
                       "columns of values that can be measured (eaveshed help overrides)",
                       "rename or remove them; nothing in them is used"});
    }
}

Columns columns_of(const VectorInfo& info, Findings& findings) {
    Columns columns;
    std::size_t found = 0;
    for (const std::string_view name : known_columns()) {
        std::string present;
        for (const std::string& field : info.fields) {
            if (lower_case(field) != name) {
                continue;
            }
            if (!present.empty()) {
                findings.warn({info.where,
                               fmt::format("the columns '{}' and '{}'", printable(present), printable(field)),
                               "one of them", "only the first is used"});
                continue;
            }
            present = field;
        }
        found += columns.names.size() >= kKeys.size() && !present.empty() ? 1U : 0U;
        columns.names.push_back(present);
    }
    if (columns.names[0].empty() && columns.names[1].empty()) {
        throw input_error(info.where, "no column roof_id or parcel_id; there are " + listed(info.fields),
                          "a column with the ids of roofs, of parcels, or one of each", "name the columns as here");
    }
    if (found == 0) {
        throw input_error(info.where, "no column of values that can be measured; there are " + listed(info.fields),
                          "columns such as eave_height_m or season_use_m3 (eaveshed help overrides)",
                          "name the columns as there");
    }
    return columns;
}

// Without blanks around it; none when nothing is left.
std::optional<std::string> trimmed(const std::optional<std::string>& text) {
    constexpr std::string_view kBlanks = " \t\r\n";
    const std::size_t first = text ? text->find_first_not_of(kBlanks) : std::string::npos;
    if (first == std::string::npos) {
        return std::nullopt;
    }
    return text->substr(first, text->find_last_not_of(kBlanks) - first + 1);
}

std::string range_text(const OverrideNumber& column) {
    return column.low <= -kAnyPlace
               ? "a number"
               : fmt::format("a number {} {:g} to {:g}", column.above_low ? "above" : "from", column.low, column.high);
}

bool within(double value, const OverrideNumber& column) {
    return value <= column.high && (column.above_low ? value > column.low : value >= column.low);
}

std::string key_text(OverrideKey key) {
    return key == kRoof ? "a row with the roof_id of a roof" : "a row with a parcel_id";
}

void read_numbers(const Feature& feature, OverrideKey key, OverrideEntry& entry) {
    for (std::size_t i = 0; i < kNumbers.size(); ++i) {
        const auto text = trimmed(feature.values.at(Columns::number(i)));
        if (!text) {
            continue;
        }
        const OverrideNumber& column = kNumbers.at(i);
        const auto value = number_from_text(text);
        if (column.key != key) {
            entry.unused.push_back({std::string(column.name), *text, key_text(column.key)});
        } else if (!value || !within(*value, column)) {
            entry.unused.push_back({std::string(column.name), *text, range_text(column)});
        } else {
            entry.row.*column.value = value;
        }
    }
}

void read_texts(const Feature& feature, OverrideKey key, OverrideEntry& entry) {
    for (std::size_t i = 0; i < kTexts.size(); ++i) {
        const auto text = trimmed(feature.values.at(Columns::text(i)));
        if (!text) {
            continue;
        }
        const OverrideText& column = kTexts.at(i);
        if (column.key != key) {
            entry.unused.push_back({std::string(column.name), *text, key_text(column.key)});
        } else {
            entry.row.*column.value = text;
        }
    }
}

// A place needs both of its numbers.
void require_pair(std::string_view first, std::optional<double>& x, std::string_view second, std::optional<double>& y,
                  OverrideEntry& entry) {
    if (x.has_value() == y.has_value()) {
        return;
    }
    entry.unused.push_back({std::string(x ? first : second), fmt::format("{}", x ? *x : *y),
                            fmt::format("{} and {} together", first, second)});
    x.reset();
    y.reset();
}

bool has_value(const OverrideRow& row) {
    const auto given = [&row](const auto& column) { return (row.*column.value).has_value(); };
    return std::ranges::any_of(kNumbers, given) || std::ranges::any_of(kTexts, given);
}

bool only_blanks(const std::optional<std::string>& text) {
    return !trimmed(text);
}

OverrideEntry entry_of(const Feature& feature, std::int64_t number, GeometryKit& kit) {
    OverrideEntry entry;
    OverrideRow& row = entry.row;
    row.row_number = number;
    row.date = trimmed(feature.values.at(2));
    // Ids are compared exactly, so they stay as they are.
    row.roof_id = only_blanks(feature.values.at(0)) ? std::nullopt : feature.values.at(0);
    row.parcel_id = only_blanks(feature.values.at(1)) ? std::nullopt : feature.values.at(1);
    const OverrideKey key = row.roof_id ? kRoof : kParcel;
    read_numbers(feature, key, entry);
    read_texts(feature, key, entry);
    require_pair("pad_x", row.pad_x, "pad_y", row.pad_y, entry);
    require_pair("use_x", row.use_x, "use_y", row.use_y, entry);
    if (row.roof_id.has_value() == row.parcel_id.has_value()) {
        row.outcome = OverrideOutcome::not_usable;
        row.reason = row.roof_id ? "both a roof_id and a parcel_id" : "neither a roof_id nor a parcel_id";
    } else if (!has_value(row)) {
        row.outcome = entry.unused.empty() ? OverrideOutcome::empty : OverrideOutcome::not_usable;
        row.reason = entry.unused.empty() ? "the row holds no value" : "none of the row's values can be used";
    }
    if (auto shape = kit.polygons(feature.wkb)) {
        entry.outline = std::move(shape->outline);
    }
    return entry;
}

}  // namespace

std::span<const OverrideNumber> override_numbers() {
    return kNumbers;
}

std::span<const OverrideText> override_texts() {
    return kTexts;
}

OverrideTable read_override_table(FeatureSource& source, Findings& findings) {
    OverrideTable table;
    table.info = source.info();
    warn_of_unknown(table.info, findings);
    const Columns columns = columns_of(table.info, findings);
    source.begin(columns.names);
    GeometryKit kit;
    Feature feature;
    while (source.next(feature)) {
        table.entries.push_back(entry_of(feature, static_cast<std::int64_t>(table.entries.size()) + 1, kit));
    }
    return table;
}

void write_unused(OverrideEntry& entry) {
    std::string text;
    for (const UnusedValue& value : entry.unused) {
        text += fmt::format("{}{}={}", text.empty() ? "" : "; ", value.column, printable(value.found, 60));
    }
    entry.row.unused = text.empty() ? std::nullopt : std::optional(std::move(text));
}

}  // namespace eaveshed
