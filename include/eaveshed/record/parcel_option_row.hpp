// The rows of the table `parcel_options`: every storage option that could stand at a parcel's pad, with what it gives
// and costs there.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/record/shared_columns.hpp"
#include "eaveshed/record/table.hpp"

namespace eaveshed {

struct ParcelOptionRow {
    static constexpr Table kTable{
        .name = "parcel_options",
        .title = "Sizes at the pad",
        .meaning = "Every storage that could stand at a parcel's pad: what it replaces, gives and costs there.",
        .shape = LayerShape::none,
        .filled_by = FilledBy::tile,
        .rows =
            "No geometry. One row for each option of the catalogue that could stand on the very cell of the parcel's "
            "pad, filled by the same roofs, the smallest first; the one of the row in `parcels` is `chosen`."};

    std::string parcel_id;
    std::optional<double> storage_m3;
    std::optional<std::int64_t> tank_count;
    std::optional<double> usable_m3;
    std::optional<Arrangement> arrangement;
    std::optional<double> forbearance_m3;
    std::optional<double> added_forbearance_m3;
    std::optional<double> instream_gain_lps;
    std::optional<double> added_gain_lps;
    std::optional<double> pressure_kpa;
    std::optional<Delivery> delivery;
    std::optional<double> cost;
    bool chosen = false;

    static constexpr auto list_columns(auto&& use) {
        return use(
            column(&ParcelOptionRow::parcel_id, shared::kParcelId),
            column(&ParcelOptionRow::storage_m3, shared::kStorage),
            column(&ParcelOptionRow::tank_count, shared::kTankCount),
            column(&ParcelOptionRow::usable_m3, shared::kUsable),
            column(&ParcelOptionRow::arrangement, shared::kArrangement),
            column(&ParcelOptionRow::forbearance_m3,
                   shared::kForbearanceM3.as("Summer take that this storage would replace each season: dependable, or "
                                             "mean where nothing is known of dry winters.")),
            column(&ParcelOptionRow::added_forbearance_m3,
                   shared::kAddedForbearance.as("The same beyond what the storage already there replaces by itself.")),
            column(&ParcelOptionRow::instream_gain_lps,
                   shared::kInstreamGain.as("The forbearance volume as a mean flow over the season, times the source "
                                            "share.")),
            column(&ParcelOptionRow::added_gain_lps,
                   shared::kAddedGain.as("The added forbearance as a mean flow over the season, times the source "
                                         "share.")),
            column(&ParcelOptionRow::pressure_kpa, shared::kPressure),
            column(&ParcelOptionRow::delivery, shared::kDelivery),
            column(&ParcelOptionRow::cost,
                   {"cost", "", "Cost",
                    "Tanks, pad, pipes and pump in the project's currency; null where a price is missing."}),
            column(&ParcelOptionRow::chosen,
                   {"chosen", "", "Chosen", "True for the storage of the parcel's own row."}));
    }
};

}  // namespace eaveshed
