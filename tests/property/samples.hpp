// A parcel with its roofs on a slope, evaluated for a sheet.
#pragma once

#include <string>
#include <vector>

#include "eaveshed/property/property.hpp"
#include "site/tile_samples.hpp"

namespace eaveshed {

// Two roofs on a parcel whose garden lies downhill to the west, and a few dry and wet years.
struct SampleProperty {
    SampleProperty() : settings(two_options()), climate(november_rains(settings, {900, 100, 700, 1200, 300, 800})) {
        settings.siting.minimum_kpa = 1.0;
        settings.storage.marginal_yield = 0.0;
        parcel.outline = testing::rectangle(40.0, 60.0, 120.0, 90.0);
        parcel.facts.season_use_m3 = 18.4;
        roofs = {roof_at(90.0, 100.0, 0), roof_at(110.0, 100.0, 1)};
        roofs[1].facts.storeys = 2.0;
        roofs[1].facts.eave_height_m.reset();
    }

    // Evaluated anew.
    [[nodiscard]] Property made() {
        tile.emplace(tile_with({{parcel, roofs}}, climate));
        if (change_tile) {
            change_tile(*tile);
        }
        found = explain_parcel(parcel, roofs, *tile, settings);
        ids.clear();
        for (std::size_t i = 0; i < roofs.size(); ++i) {
            ids.push_back("R" + std::to_string(i + 1));
        }
        return property_of(task());
    }
    [[nodiscard]] PropertyTask task() const {
        return {.parcel_id = id,
                .roof_ids = ids,
                .explanation = found,
                .ranked = found.result.parcel,
                .parcel = &parcel,
                .roofs = roofs,
                .tile = &*tile,
                .settings = settings};
    }

    Settings settings;
    RoofClimate climate;
    TileParcel parcel = parcel_with_measured_use();
    std::vector<TileRoof> roofs;
    std::function<void(TileInput&)> change_tile;
    std::string id = "P1";
    std::vector<std::string> ids;
    std::optional<TileInput> tile;
    ParcelExplanation found;
};

}  // namespace eaveshed
