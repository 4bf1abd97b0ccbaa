#include "eaveshed/fieldbook/override_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <optional>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/spelling.hpp"
#include "eaveshed/facts/fields.hpp"
#include "eaveshed/facts/walk.hpp"
#include "eaveshed/geometry/footprint_geometry.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

// visit(fact, member) for every fact that can be measured, in the order of measured_columns().
template <typename Visitor>
void visit_columns(Visitor&& visit) {
    visit_members<RoofFacts, double>(visit);
    visit_members<ParcelFacts, double>(visit);
    visit_members<RoofFacts, std::string>(visit);
    visit_members<ParcelFacts, std::string>(visit);
}

// Keys first; `who` and `note` may stand in the table and are never read.
constexpr std::array<std::string_view, 3> kKeys{"roof_id", "parcel_id", "date"};
constexpr std::array<std::string_view, 2> kLeftAlone{"who", "note"};

// The names to read: keys, then measured_columns(). Empty where the table has no such column.
using ColumnNames = std::vector<std::string>;

std::vector<std::string_view> known_columns() {
    std::vector<std::string_view> known(kKeys.begin(), kKeys.end());
    visit_columns([&known](const auto& fact, auto /*member*/) { known.push_back(fact.column()); });
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

ColumnNames columns_of(const VectorInfo& info, Findings& findings) {
    ColumnNames columns;
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
        found += columns.size() >= kKeys.size() && !present.empty() ? 1U : 0U;
        columns.push_back(present);
    }
    if (columns[0].empty() && columns[1].empty()) {
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

template <typename Facts>
std::string range_text(const KnownFact<Facts>& fact) {
    if (fact.coordinate) {
        return "a number";
    }
    const Range& range = fact.range;
    const Unit* const unit = find_unit(fact.unit);
    return fmt::format("a number {} {:g} to {:g}{}", range.low_open ? "above" : "from", range.low, range.high,
                       unit == nullptr
                           ? std::string()
                           : fmt::format(" in {}, or with its own unit of {}", unit->name(), to_text(unit->dimension)));
}

std::string key_text(std::string_view noun) {
    return noun == FactsOf<RoofFacts>::noun ? "a row with the roof_id of a roof" : "a row with a parcel_id";
}

// Reads the cells of one row, column by column.
class CellReader {
public:
    CellReader(const Feature& feature, OverrideEntry& entry) : m_feature(feature), m_entry(entry) {}

    template <typename Facts, typename Value>
    void operator()(const KnownFact<Facts>& fact, std::optional<Value> Facts::*member) {
        const auto text = trimmed(m_feature.values.at(m_place++));
        if (!text) {
            return;
        }
        if ((m_entry.key() == OverrideKey::roof) != std::is_same_v<Facts, RoofFacts>) {
            refuse(fact, *text, key_text(FactsOf<Facts>::noun));
        } else if constexpr (std::is_same_v<Value, std::string>) {
            m_entry.row.*member = text;
        } else if (const auto value = number_of(fact, *text); value && fact.range.holds(*value)) {
            m_entry.row.*member = value;
        } else {
            refuse(fact, *text, range_text(fact));
        }
    }

private:
    template <typename Facts>
    void refuse(const KnownFact<Facts>& fact, const std::string& found, std::string wanted) {
        m_entry.unused.push_back({std::string(fact.column()), found, std::move(wanted)});
    }

    const Feature& m_feature;
    OverrideEntry& m_entry;
    std::size_t m_place = kKeys.size();
};

// A place needs both of its numbers.
template <typename Facts>
void require_pairs(OverrideEntry& entry) {
    const auto& table = FactsOf<Facts>::table;
    for (std::size_t i = 0; i < table.size(); ++i) {
        if (!table[i].coordinate) {
            continue;
        }
        const auto value = [&](std::size_t row) -> std::optional<double>& {
            return entry.row.*std::get<std::optional<double> Facts::*>(table[row].member);
        };
        auto& x = value(i);
        auto& y = value(i + 1);
        if (x.has_value() != y.has_value()) {
            entry.unused.push_back({std::string(table[x ? i : i + 1].column()), fmt::format("{}", x ? *x : *y),
                                    fmt::format("{} and {} together", table[i].column(), table[i + 1].column())});
            x.reset();
            y.reset();
        }
        ++i;
    }
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
    visit_columns(CellReader(feature, entry));
    require_pairs<RoofFacts>(entry);
    require_pairs<ParcelFacts>(entry);
    if (row.roof_id.has_value() == row.parcel_id.has_value()) {
        row.outcome = OverrideOutcome::not_usable;
        row.reason = row.roof_id ? "both a roof_id and a parcel_id" : "neither a roof_id nor a parcel_id";
    } else if (!any_measurable<RoofFacts>(row) && !any_measurable<ParcelFacts>(row)) {
        row.outcome = entry.unused.empty() ? OverrideOutcome::empty : OverrideOutcome::not_usable;
        row.reason = entry.unused.empty() ? "the row holds no value" : "none of the row's values can be used";
    }
    if (auto shape = kit.polygons(feature.wkb)) {
        entry.outline = std::move(shape->outline);
    }
    return entry;
}

}  // namespace

std::vector<MeasuredColumn> measured_columns() {
    std::vector<MeasuredColumn> columns;
    visit_columns([&columns]<typename Facts, typename Value>(const KnownFact<Facts>& fact,
                                                             std::optional<Value> Facts::* /*member*/) {
        columns.push_back({fact.column(), FactsOf<Facts>::noun, fact.meaning});
    });
    return columns;
}

OverrideTable read_override_table(FeatureSource& source, Findings& findings) {
    OverrideTable table;
    table.info = source.info();
    warn_of_unknown(table.info, findings);
    const ColumnNames columns = columns_of(table.info, findings);
    source.begin(columns);
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
