#include "eaveshed/feed/station_network.hpp"

#include <cmath>

namespace eaveshed {

StationNetwork network_of(const GaugeTableInfo& table, const Crs& footprints) {
    StationNetwork network;
    network.nearest = table.nearest;
    network.where = table.where;
    std::vector<Point> degrees;
    for (const GaugeStation& station : table.stations) {
        if (station.degrees) {
            degrees.push_back(*station.degrees);
        }
    }
    network.places = NearestPlaces(std::move(degrees), footprints.ellipsoid());
    return network;
}

StationNetwork network_of(const GaugeRain& rain, const Crs& footprints, const Box& area) {
    StationNetwork network = network_of(rain.info.gauges.value(), footprints);
    if (rain.normals) {
        network.normals_crs = rain.normals->crs();
        const auto there = Transform(footprints, network.normals_crs, rain.normals->where())(area);
        network.normals = rain.normals->read(there.value_or(Box{}));
        network.normals_of_stations = rain.normals_of_stations;
    }
    return network;
}

StationDoor::StationDoor(const Crs& footprints, const StationNetwork& network)
    : m_network(network),
      m_to_degrees(footprints, footprints.geographic(), network.where),
      m_degrees_per_unit(footprints.geographic().degrees_per_unit()) {
    if (network.normals) {
        m_to_normals.emplace(footprints, network.normals_crs, network.normals->grid, network.where);
    }
}

std::vector<StationUse> StationDoor::operator()(Point place) const {
    if (m_network.places.size() == 0) {
        return {StationUse{}};
    }
    const auto degrees = m_to_degrees(place);
    if (!degrees) {
        return {};
    }
    double here = kMissing;
    if (m_to_normals) {
        if (const auto there = (*m_to_normals)(place)) {
            here = normal_at(*m_network.normals, *there);
        }
    }
    std::vector<StationUse> uses;
    for (const PlaceAtDistance& near : m_network.places.nearest(
             {degrees->x * m_degrees_per_unit, degrees->y * m_degrees_per_unit}, m_network.nearest)) {
        const double there =
            m_network.normals_of_stations.empty() ? kMissing : m_network.normals_of_stations.at(near.place);
        const bool both = !std::isnan(here) && !std::isnan(there);
        uses.push_back({near.place, near.distance_m, both ? here / there : 1.0});
    }
    return uses;
}

}  // namespace eaveshed
