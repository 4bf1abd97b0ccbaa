// The rows of the layer `subbasins`: what the roofs and parcels of each part of the basin come to.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "eaveshed/record/shared_columns.hpp"
#include "eaveshed/record/table.hpp"

namespace eaveshed {

struct SubbasinRow {
    static constexpr Table kTable{
        .name = "subbasins",
        .title = "Sub-basins",
        .meaning = "Parts of the basin: their roofs, harvest, forbearance, and how much of it needs no pump.",
        .shape = LayerShape::multipolygon,
        .filled_by = FilledBy::gather,
        .rows =
            "MultiPolygon: one row for each polygon of `[subbasins]` in its order; without that layer the catchments "
            "of the reaches, each what drains to its reach first, named by it. Empty without both, and without the "
            "layer where `streams.entry` is `nearest`: no water is led over the ground then.",
        .notes =
            "A roof counts where it stands, and a parcel where its offer comes from: its diversion, else its pad, else "
            "its first computed roof. A place in several polygons is in the first. Volumes are those of parcels and of "
            "roofs in no parcel. The catchments of given lines end with the ground that is led over, 2 km around the "
            "roofs."};

    std::string subbasin_id;
    std::optional<double> area_km2;
    std::optional<std::int64_t> roof_count;
    std::optional<std::int64_t> ok_roof_count;
    std::optional<double> roofs_area_m2;
    std::optional<double> roofs_harvest_mean_m3;
    std::optional<double> roofs_harvest_dependable_m3;
    std::optional<std::int64_t> parcel_count;
    std::optional<double> forbearance_m3;
    std::optional<double> instream_gain_lps;
    std::optional<std::int64_t> open_count;
    std::optional<double> open_added_m3;
    std::optional<double> open_added_lps;
    std::optional<double> gravity_share;
    std::optional<double> sure_gravity_share;

    static constexpr auto list_columns(auto&& use) {
        return use(
            column(&SubbasinRow::subbasin_id,
                   shared::kSubbasinId.as("Identifier: the id field, else the feature id; of a catchment its reach.")),
            column(&SubbasinRow::area_km2,
                   {"area_km2", "km2", "Area",
                    "On the ellipsoid; of a catchment of given lines the part within the ground that is led over."}),
            column(&SubbasinRow::roof_count, {"roof_count", "1", "Roofs", "Footprints of the input that stand in it."}),
            column(&SubbasinRow::ok_roof_count,
                   {"ok_roof_count", "1", "Computed roofs", "Those of them with status ok."}),
            column(&SubbasinRow::roofs_area_m2,
                   {"roofs_area_m2", "m2", "Roof area", "Plan area of the computed roofs together."}),
            column(&SubbasinRow::roofs_harvest_mean_m3,
                   {"roofs_harvest_mean_m3", "m3", "Mean harvest of all roofs",
                    "Winter harvest of the computed roofs, mean over the tank years."}),
            column(&SubbasinRow::roofs_harvest_dependable_m3,
                   {"roofs_harvest_dependable_m3", "m3", "Dependable harvest of all roofs",
                    "Sum of what each computed roof yields dependably; null where none has such a value."}),
            column(&SubbasinRow::parcel_count,
                   {"parcel_count", "1", "Parcels", "Parcels with a computed roof, and computed roofs in no parcel."}),
            column(&SubbasinRow::forbearance_m3,
                   shared::kForbearanceM3.as("Summer take that storage could replace each season, whoever is asked.")),
            column(&SubbasinRow::instream_gain_lps,
                   shared::kInstreamGain.as("Gain of the streams by it, wherever it enters them.")),
            column(&SubbasinRow::open_count,
                   {"open_count", "1", "Candidates", "Parcels that may be asked and have a place for a tank."}),
            column(&SubbasinRow::open_added_m3,
                   shared::kAddedForbearance.named("open_added_m3", "Added by candidates",
                                                   "What these would replace each season beyond what their storage "
                                                   "does already.")),
            column(&SubbasinRow::open_added_lps,
                   shared::kAddedGain.named("open_added_lps", "Added gain of candidates", "The stream gain of that.")),
            column(&SubbasinRow::gravity_share,
                   {"gravity_share", "1", "By gravity",
                    "Share of the forbearance volume whose delivery is gravity or low_pressure, as the maps show it; "
                    "null where there is no volume."}),
            column(&SubbasinRow::sure_gravity_share,
                   {"sure_gravity_share", "1", "Surely by gravity",
                    "Share of it whose gravity check is yes; null where there is no volume."}));
    }
};

}  // namespace eaveshed
