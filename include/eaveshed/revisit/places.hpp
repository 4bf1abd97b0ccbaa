// Places of a run as people find them again.
#pragma once

#include <optional>

#include "eaveshed/crs/map_place.hpp"
#include "eaveshed/inputs/inputs.hpp"

namespace eaveshed {

// From the CRSs of a run's inputs to the output's and to degrees. Not thread-safe: one per worker.
class RunPlaces {
public:
    explicit RunPlaces(const Inputs& inputs);

    // As the layers pads and use_points have it.
    [[nodiscard]] std::optional<MapPlace> from_terrain(Point point) const;
    [[nodiscard]] std::optional<MapPlace> from_footprints(Point point) const;
    // Direction of the way between two places of the terrain's CRS that lie some metres apart, degrees clockwise from
    // true north, 0 to below 360; none where there is no way to degrees.
    [[nodiscard]] std::optional<double> true_bearing_deg(Point from, Point to) const;

private:
    [[nodiscard]] std::optional<MapPlace> place_of(const std::optional<Point>& output) const;

    Transform m_terrain_to_output;
    Transform m_footprints_to_output;
    ToDegrees m_to_degrees;
};

}  // namespace eaveshed
