// The rows of the table `overrides`: every row of the overrides table that the user gave, with what became of it.
// Names and notes of the user's table are never in it.
#pragma once

#include <optional>
#include <string>

#include "eaveshed/facts/walk.hpp"
#include "eaveshed/record/field.hpp"

namespace eaveshed {

// The facts that can be measured are its columns too; places are in the table's coordinate reference system.
struct OverrideRow : RoofFacts, ParcelFacts {
    std::optional<std::int64_t> row_number;
    std::optional<std::string> roof_id;
    std::optional<std::string> parcel_id;
    std::optional<std::string> date;
    std::optional<OverrideOutcome> outcome;
    std::optional<std::string> applied_to;
    std::optional<std::string> reason;
    std::optional<std::string> unused;
};

template <typename Row, typename Visitor>
requires std::is_same_v<std::remove_const_t<Row>, OverrideRow>
void visit_fields(Row& row, Visitor&& visit) {
    visit(Field{"row_number", "", "Row", "Number of the row in the overrides table, from 1, titles not counted."},
          row.row_number);
    visit(Field{"roof_id", "", "Roof", "The roof that the row names; null in a row of a parcel."}, row.roof_id);
    visit(Field{"parcel_id", "", "Parcel", "The parcel that the row names; null in a row of a roof."}, row.parcel_id);
    visit(Field{"date", "", "Date", "When it was measured, as the table says."}, row.date);
    visit(Field{"outcome", "", "Outcome", "What became of the row: applied, carried, or why not."}, row.outcome);
    visit(Field{"applied_to", "", "Applied to", "The roof or parcel whose values the row's replaced; else null."},
          row.applied_to);
    visit(Field{"reason", "", "Reason", "Why the row was not applied, or where it was carried from."}, row.reason);
    const auto measured = [&visit](const auto& fact, auto& value) {
        visit(Field{fact.name, fact.unit, fact.title, fact.meaning}, value);
    };
    visit_measurable<RoofFacts>(row, measured);
    visit_measurable<ParcelFacts>(row, measured);
    visit(Field{"unused", "", "Unused", "Values of the row that could not be used, as they were found."}, row.unused);
}

}  // namespace eaveshed
