// The table of measured values: a CSV or a layer with one row for a roof or a parcel.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/record/override_row.hpp"
#include "eaveshed/shape/polygon.hpp"
#include "eaveshed/source/feature_source.hpp"

namespace eaveshed {

// A column of values that can be measured: its title in the table, whose values they are, and what they mean.
struct MeasuredColumn {
    std::string_view name;
    std::string_view noun;  // roof or parcel
    std::string_view meaning;
};

// Numbers of roofs, numbers of parcels, texts of roofs, texts of parcels; each in the order of facts/table.hpp.
[[nodiscard]] std::vector<MeasuredColumn> measured_columns();

enum class OverrideKey : std::uint8_t { roof, parcel };

// A value that stands in the table and cannot be used.
struct UnusedValue {
    std::string column;
    std::string found;
    std::string wanted;
};

struct OverrideEntry {
    OverrideRow row;  // outcome and what follows from it are left empty, but for not_usable and empty
    std::vector<UnusedValue> unused = {};  // in column order; `row.unused` is made of it last of all
    MultiPolygon outline = {};             // of what the values were measured at, in the table's CRS; may be empty
    [[nodiscard]] OverrideKey key() const { return row.roof_id ? OverrideKey::roof : OverrideKey::parcel; }
    [[nodiscard]] const std::string& id() const { return row.roof_id ? *row.roof_id : *row.parcel_id; }
};

struct OverrideTable {
    VectorInfo info;  // the CRS may be absent
    std::vector<OverrideEntry> entries;
};

// Column names are compared regardless of case. Input errors: no column of ids, no column of values, and what
// reading tells. Warnings: columns that are not known. Rows and values that cannot be used stay in their entry.
// The whole table is held: it is as long as the list of places that people have been to.
[[nodiscard]] OverrideTable read_override_table(FeatureSource& source, Findings& findings);

// Makes `row.unused`.
void write_unused(OverrideEntry& entry);

}  // namespace eaveshed
