#include "eaveshed/stream/nearest_reach.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace eaveshed {

namespace {

Box around_point(Point place, double radius_m) {
    return Box{place.x, place.y, place.x, place.y}.grown(radius_m, radius_m);
}

double larger_offset(const Box& box, Point place) {
    return std::max({box.x_min - place.x, place.x - box.x_max, box.y_min - place.y, place.y - box.y_max, 0.0});
}

}  // namespace

ReachIndex::ReachIndex(const std::vector<Line>& lines) {
    std::vector<Box> boxes;
    boxes.reserve(lines.size());
    m_chains.reserve(lines.size());
    for (const Line& line : lines) {
        m_chains.emplace_back(line);
        boxes.push_back(m_chains.back().box());
        m_all.add(boxes.back());
    }
    m_index = BoxIndex(boxes);
    if (!m_all.empty()) {
        // The side of a square that holds about one line, were they spread evenly.
        const double side = std::max({m_all.x_max - m_all.x_min, m_all.y_max - m_all.y_min, 1.0});
        m_first_radius_m = side / std::sqrt(static_cast<double>(lines.size()));
    }
}

std::vector<std::uint32_t> ReachIndex::around(Point place, double radius_m) const {
    return m_index.empty() ? std::vector<std::uint32_t>{} : m_index.query(around_point(place, radius_m));
}

std::optional<NearReach> ReachIndex::nearest(Point place) const {
    if (m_all.empty() || !std::isfinite(place.x) || !std::isfinite(place.y)) {
        return std::nullopt;
    }
    // Wider and wider until some line is met.
    double radius_m = larger_offset(m_all, place) + m_first_radius_m;
    while (std::isfinite(radius_m)) {
        const std::vector<NearReach> found = within(place, radius_m);
        if (!found.empty()) {
            return found.front();
        }
        radius_m *= 2.0;
    }
    return std::nullopt;  // lines whose coordinates are no numbers
}

std::vector<NearReach> ReachIndex::within(Point place, double limit_m) const {
    std::vector<NearReach> found;
    for (const std::uint32_t line : around(place, limit_m)) {
        const double distance_m = m_chains[line].distance_within(place, limit_m);
        if (distance_m <= limit_m) {
            found.push_back({line, distance_m});
        }
    }
    std::ranges::sort(found, [](const NearReach& a, const NearReach& b) {
        return std::tie(a.distance_m, a.reach) < std::tie(b.distance_m, b.reach);
    });
    return found;
}

}  // namespace eaveshed
