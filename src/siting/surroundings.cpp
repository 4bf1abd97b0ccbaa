#include "eaveshed/siting/surroundings.hpp"

#include <algorithm>

namespace eaveshed {

Surroundings::Surroundings(const LocalFrame& frame, const MultiPolygon& roof, const MultiPolygon* parcel,
                           const std::vector<const Building*>& others)
    : m_roof(frame, roof) {
    if (parcel != nullptr) {
        m_parcel.emplace(frame, *parcel);
    }
    m_others.reserve(others.size());
    for (const Building* other : others) {
        m_others.emplace_back(frame, other->outline);
    }
}

bool Surroundings::belongs(const Place& place) const {
    if (m_parcel) {
        return m_parcel->crs.contains(place.crs);
    }
    const double own = distance_to_roof_m(place);
    return std::ranges::none_of(
        m_others, [&](const Shape& other) { return other.metres.distance_to_area_within(place.metres, own) < own; });
}

bool Surroundings::built_on(const Place& place) const {
    return m_roof.crs.contains(place.crs) ||
           std::ranges::any_of(m_others, [&](const Shape& other) { return other.crs.contains(place.crs); });
}

bool Surroundings::nearer_to_boundary(const Place& place, double limit_m) const {
    return m_parcel && m_parcel->metres.distance_to_edge_within(place.metres, limit_m) < limit_m;
}

bool Surroundings::nearer_to_building(const Place& place, double distance_to_roof_m, double limit_m) const {
    return distance_to_roof_m < limit_m || std::ranges::any_of(m_others, [&](const Shape& other) {
               return other.metres.distance_to_area_within(place.metres, limit_m) < limit_m;
           });
}

}  // namespace eaveshed
