#include "eaveshed/siting/surroundings.hpp"

#include <algorithm>

namespace eaveshed {

Surroundings::Surroundings(const LocalFrame& frame, const MultiPolygon& roof, const MultiPolygon* parcel,
                           const std::vector<const Building*>& others)
    : m_roof(frame.to_metres(roof)), m_roof_box(bounds(frame.to_metres(roof))) {
    if (parcel != nullptr) {
        m_parcel.emplace(frame.to_metres(*parcel));
    }
    m_others.reserve(others.size());
    for (const Building* other : others) {
        const MultiPolygon outline = frame.to_metres(other->outline);
        m_others.push_back({bounds(outline), PreparedArea(outline)});
    }
}

bool Surroundings::belongs(Point point) const {
    if (m_parcel) {
        return m_parcel->contains(point);
    }
    const double own = m_roof.distance_to_area(point);
    return std::ranges::none_of(m_others, [&](const Other& other) {
        // A box farther away than the roof spares the exact distance.
        return other.box.grown(own, own).intersects({point.x, point.y, point.x, point.y}) &&
               other.area.distance_to_area_within(point, own) < own;
    });
}

bool Surroundings::built_on(Point point) const {
    return m_roof.contains(point) || std::ranges::any_of(m_others, [&](const Other& other) {
               return other.box.intersects({point.x, point.y, point.x, point.y}) && other.area.contains(point);
           });
}

}  // namespace eaveshed
