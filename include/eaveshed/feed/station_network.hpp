// Which gauges the roofs of a basin draw on.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/step_field.hpp"
#include "eaveshed/crs/crs.hpp"
#include "eaveshed/crs/grid_door.hpp"
#include "eaveshed/gauges/gauge_rain.hpp"
#include "eaveshed/rain/stations.hpp"
#include "eaveshed/shape/nearest_places.hpp"
#include "eaveshed/source/climate_info.hpp"

namespace eaveshed {

// Shared by all tiles.
struct StationNetwork {
    NearestPlaces places;     // by station; empty of a single gauge that counts everywhere
    std::size_t nearest = 1;  // how many a roof may draw on
    std::string where;
    // Of rain, with normals.
    std::optional<StepField> normals;  // around the roofs
    Crs normals_crs;
    std::vector<double> normals_of_stations;  // NaN where there is none
};

// `footprints`: their CRS.
[[nodiscard]] StationNetwork network_of(const GaugeTableInfo& table, const Crs& footprints);
// With the normals around `area`, which is in the footprints' CRS.
[[nodiscard]] StationNetwork network_of(const GaugeRain& rain, const Crs& footprints, const Box& area);

// The way from the footprints' CRS to the gauges of a place. Not thread-safe: one per worker.
class StationDoor {
public:
    // The network outlives the door.
    StationDoor(const Crs& footprints, const StationNetwork& network);

    // Nearest first, each with the ratio of the normals. Empty where the place has no way into degrees.
    // method.md 2.11, 2.12.
    [[nodiscard]] std::vector<StationUse> operator()(Point place) const;

private:
    const StationNetwork& m_network;
    Transform m_to_degrees;
    double m_degrees_per_unit;
    std::optional<GridDoor> m_to_normals;
};

}  // namespace eaveshed
