#include "eaveshed/crs/map_place.hpp"

#include <cmath>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

double six_decimals(double degrees) {
    constexpr double kPerDegree = 1e6;
    return std::round(degrees * kPerDegree) / kPerDegree;
}

}  // namespace

ToDegrees::ToDegrees(const Crs& from, const Crs& wgs84) {
    if (!from.given() || from.is_local()) {
        return;
    }
    try {
        m_transform.emplace(from, wgs84, "output.crs");
    } catch (const Error&) {  // no way: degrees are left out
    }
}

std::optional<Degrees> ToDegrees::precise(Point point) const {
    constexpr double kTurn = 360.0;  // grids may count longitudes from 0 to 360
    const auto there = m_transform ? (*m_transform)(point) : std::nullopt;
    return there ? std::optional(Degrees{std::remainder(there->x, kTurn), there->y}) : std::nullopt;
}

std::optional<Degrees> ToDegrees::operator()(Point point) const {
    const auto there = precise(point);
    return there ? std::optional(Degrees{six_decimals(there->longitude_deg), six_decimals(there->latitude_deg)})
                 : std::nullopt;
}

}  // namespace eaveshed
