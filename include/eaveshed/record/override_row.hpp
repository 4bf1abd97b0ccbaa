// The rows of the table `overrides`: every row of the overrides table that the user gave, with what became of it.
// Names and notes of the user's table are never in it.
#pragma once

#include <optional>
#include <string>
#include <tuple>

#include "eaveshed/record/fact_columns.hpp"
#include "eaveshed/record/table.hpp"

namespace eaveshed {

// The facts that can be measured are its columns too; places are in the table's coordinate reference system.
struct OverrideRow : RoofFacts, ParcelFacts {
    static constexpr Table kTable{
        .name = "overrides",
        .title = "Measured values",
        .meaning = "Every row of the overrides table and what became of it.",
        .shape = LayerShape::none,
        .filled_by = FilledBy::overrides,
        .rows =
            "No geometry; empty without `[overrides]`. Every row of the table of measured values, in its order, with "
            "the values that could be used and what became of it. Rows that were not applied are here whole, so "
            "nothing entered by hand is lost. Who measured, and notes, are never read. The rows of `roofs` and "
            "`parcels` that took a value have the flag `measured`."};

    std::optional<std::int64_t> row_number;
    std::optional<std::string> roof_id;
    std::optional<std::string> parcel_id;
    std::optional<std::string> date;
    std::optional<OverrideOutcome> outcome;
    std::optional<std::string> applied_to;
    std::optional<std::string> reason;
    std::optional<std::string> unused;

    static constexpr auto columns_before_facts() {
        return std::tuple(
            column(&OverrideRow::row_number,
                   {"row_number", "", "Row", "Number of the row in the overrides table, from 1, titles not counted."}),
            column(&OverrideRow::roof_id,
                   {"roof_id", "", "Roof", "The roof that the row names; null in a row of a parcel."}),
            column(&OverrideRow::parcel_id,
                   {"parcel_id", "", "Parcel", "The parcel that the row names; null in a row of a roof."}),
            column(&OverrideRow::date, {"date", "", "Date", "When it was measured, as the table says."}),
            column(&OverrideRow::outcome,
                   {"outcome", "", "Outcome", "What became of the row: applied, carried, or why not."}),
            column(&OverrideRow::applied_to,
                   {"applied_to", "", "Applied to", "The roof or parcel whose values the row's replaced; else null."}),
            column(&OverrideRow::reason,
                   {"reason", "", "Reason", "Why the row was not applied, or where it was carried from."}));
    }
    static constexpr auto columns_after_facts() {
        return std::tuple(
            column(&OverrideRow::unused,
                   {"unused", "", "Unused", "Values of the row that could not be used, as they were found."}));
    }
    // Without those of its facts.
    static constexpr auto list_own_columns(auto&& use) {
        return std::apply(use, std::tuple_cat(columns_before_facts(), columns_after_facts()));
    }
    static constexpr auto list_columns(auto&& use) {
        return std::apply(use, std::tuple_cat(columns_before_facts(), fact_columns<OverrideRow, RoofFacts>(),
                                              fact_columns<OverrideRow, ParcelFacts>(), columns_after_facts()));
    }
};

}  // namespace eaveshed
