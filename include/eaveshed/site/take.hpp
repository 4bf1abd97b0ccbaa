// The summer take behind one roof: what the parcel's data say, what is assumed, and how much of it the creek feels.
#pragma once

#include <optional>
#include <span>

#include "eaveshed/demand/demand.hpp"
#include "eaveshed/demand/source_share.hpp"
#include "eaveshed/settings/settings.hpp"
#include "eaveshed/site/climate.hpp"
#include "eaveshed/site/tile_input.hpp"

namespace eaveshed {

struct Take {
    DemandInputs demand;
    bool people_given = false;  // by the parcel; else the default
    bool garden_given = false;
    bool garden_capped = false;  // the default is more than the parcel's open ground, which stands in its place
    WaterSource source = WaterSource::unknown;
    bool source_given = false;
    ShareBasis share_basis = ShareBasis::source_class;
    double source_share = 0.0;  // of the take that the creek feels within the season
    Flags flags;                // those of take_flags, and default_et0
};

// The ground of a parcel that no roof covers: its area less the plan areas of `roofs`, all that belong to it
// (duplicates and bad geometries aside), at least 0. None for a parcel without area.
// method.md 4.12.
[[nodiscard]] std::optional<double> open_ground_m2(const std::optional<double>& parcel_area_m2,
                                                   std::span<const TileRoof> roofs);

// What the data of a parcel (null for a roof without one) leave to an assumption: default_demand, unknown_source,
// assumed_share.
// method.md 4.
[[nodiscard]] Flags take_flags(const ParcelFacts* facts, const Settings& settings, const Season& season);

// `parcel` is null for a roof without one.
[[nodiscard]] Take summer_take(const TileRoof& roof, const TileParcel* parcel, const RoofClimate& climate,
                               const Settings& settings, const Season& season);

}  // namespace eaveshed
