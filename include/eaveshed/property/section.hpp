// The ground from the roof to the pad and on to the use point, with everything that stands on it by height.
#pragma once

#include <optional>
#include <vector>

#include "eaveshed/core/raster.hpp"
#include "eaveshed/parcel/explain_parcel.hpp"
#include "eaveshed/shape/local_frame.hpp"
#include "eaveshed/site/tile_input.hpp"

namespace eaveshed {

// Ground at a distance along the section, m; no elevation where the raster has none.
struct GroundPoint {
    double distance_m = 0.0;
    std::optional<double> elev_m;
};

// Places in the terrain's CRS, elevations above its datum, distances along the section from the roof.
struct PropertySection {
    Point roof_place;  // of the pad's own roof, the point nearest to the pad
    Point pad_place;   // the pad's centre
    Point use_place;
    double pad_m = 0.0;  // distance of the pad's centre
    double use_m = 0.0;  // distance of the use point
    std::vector<GroundPoint> ground;
    double gutter_elev_m = 0.0;
    double tank_base_elev_m = 0.0;
    double tank_top_elev_m = 0.0;
    double outlet_elev_m = 0.0;
    double water_full_elev_m = 0.0;
    double water_reserve_elev_m = 0.0;  // the outlet's without a reserve
    double use_elev_m = 0.0;            // of the ground there
    double tap_elev_m = 0.0;
    double pressure_full_kpa = 0.0;     // at the tap, after friction and filter
    double pressure_reserve_kpa = 0.0;  // the one that decides
};

// A way from place to place, sampled in equal steps of at most `step_m`, its ends among them. `frame` gives the metres;
// what the way needs of the terrain is loaded. The distance of the first is `from_m`.
[[nodiscard]] std::vector<GroundPoint> ground_along_way(const SparseRaster& terrain, const LocalFrame& frame,
                                                        const std::vector<Point>& way, double step_m);

// Of a parcel with a pad; none without. Sampled at most half a smaller cell side apart.
[[nodiscard]] std::optional<PropertySection> property_section(const ParcelExplanation& parcel,
                                                              const std::vector<TileRoof>& roofs,
                                                              const TileInput& tile);

// The terrain cells that the section asks for, in pieces so that a long slanting way asks for few.
[[nodiscard]] std::vector<CellRange> section_ground_needed(const ParcelExplanation& parcel,
                                                           const std::vector<TileRoof>& roofs, const TileInput& tile);

}  // namespace eaveshed
