// Everything a tile needs, and nothing it could read by itself: a tile is a pure function over its sites.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/core/raster.hpp"
#include "eaveshed/facts/facts.hpp"
#include "eaveshed/shape/box_index.hpp"
#include "eaveshed/shape/line_runs.hpp"
#include "eaveshed/shape/plane_map.hpp"
#include "eaveshed/shape/polygon.hpp"
#include "eaveshed/site/climate.hpp"
#include "eaveshed/terrain/terrain_metric.hpp"
#include "eaveshed/vicinity/obstacles.hpp"
#include "eaveshed/vicinity/surroundings.hpp"

namespace eaveshed {

// A footprint. Outlines that could not be brought to the CRS in question are empty; points that could not be are
// absent.
struct TileRoof {
    std::uint64_t ordinal = 0;   // position in the input
    Status status = Status::ok;  // as far as the plan knows: no_rain is found by the tile
    Flags flags;
    std::optional<double> plan_area_m2;
    RoofFacts facts;  // a pad's place in the terrain's CRS: the cell that holds it is the only candidate
    double latitude_deg = 0.0;
    MultiPolygon outline;               // in the terrain's CRS
    Point interior;                     // of the source outline, in the terrain's CRS
    MultiPolygon surface_outline;       // in the surface's CRS
    std::optional<PlaneMap> to_canopy;  // from the terrain's CRS to the canopy's, about the interior point
    ClimatePlace climate_place;         // of the interior point
};

struct TileParcel {
    std::uint64_t ordinal = 0;
    MultiPolygon outline;                    // in the terrain's CRS; empty when the parcel has no usable geometry
    ParcelFacts facts;                       // the use point in the terrain's CRS
    std::optional<double> open_ground_m2{};  // no default garden is larger (site/take.hpp); none without an area
};

// A parcel with its roofs, or a roof without a parcel.
struct TileSite {
    std::optional<TileParcel> parcel;
    std::vector<TileRoof> roofs;
};

struct TileInput {
    explicit TileInput(RoofClimate climate_) : climate(std::move(climate_)) {}

    RoofClimate climate;
    std::vector<TileSite> sites;
    std::vector<Building> buildings;  // every footprint with a geometry that can matter to a site, in ascending ordinal
    BoxIndex building_index;          // over their bounds; without it every one of them is asked
    std::vector<Obstacle>
        obstacles;   // every stream and exclusion that can matter to a site, in the order of the inputs
    LineRuns roads;  // every piece of a road that can be the nearest to a pad, in the order of the input
    SparseRaster terrain;
    double terrain_step_m = 0.0;  // between the elevations of a raster of whole numbers; 0 for others
    TerrainMetric metric;
    std::optional<SparseRaster> surface;
    std::optional<SparseRaster> canopy;
};

}  // namespace eaveshed
