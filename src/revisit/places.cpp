#include "eaveshed/revisit/places.hpp"

#include <cmath>
#include <numbers>

#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/shape/ellipsoid.hpp"

namespace eaveshed {

RunPlaces::RunPlaces(const Inputs& inputs)
    : m_terrain_to_output(inputs.terrain().crs, inputs.output_crs, "output.crs"),
      m_footprints_to_output(inputs.footprints().info.crs, inputs.output_crs, "output.crs"),
      m_to_degrees(inputs.output_crs, wgs84()) {}

std::optional<MapPlace> RunPlaces::place_of(const std::optional<Point>& output) const {
    return output ? std::optional(MapPlace{*output, m_to_degrees(*output)}) : std::nullopt;
}

std::optional<MapPlace> RunPlaces::from_terrain(Point point) const {
    return place_of(m_terrain_to_output(point));
}

std::optional<MapPlace> RunPlaces::from_footprints(Point point) const {
    return place_of(m_footprints_to_output(point));
}

std::optional<double> RunPlaces::true_bearing_deg(Point from, Point to) const {
    constexpr double kTurn = 360.0;
    const auto first = m_terrain_to_output(from);
    const auto last = m_terrain_to_output(to);
    const auto a = first ? m_to_degrees.precise(*first) : std::nullopt;
    const auto b = last ? m_to_degrees.precise(*last) : std::nullopt;
    if (!a || !b) {
        return std::nullopt;
    }
    const MetresPerDegree metres = metres_per_degree(a->latitude_deg, Ellipsoid{});
    const double east_m = std::remainder(b->longitude_deg - a->longitude_deg, kTurn) * metres.east;
    const double north_m = (b->latitude_deg - a->latitude_deg) * metres.north;
    const double bearing = std::atan2(east_m, north_m) * kTurn / (2.0 * std::numbers::pi);
    return bearing < 0.0 ? bearing + kTurn : bearing;
}

}  // namespace eaveshed
