#include "eaveshed/stream/nearest_reach.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <tuple>

namespace eaveshed {

namespace {

Box around_point(Point place, double radius_m) {
    return Box{place.x, place.y, place.x, place.y}.grown(radius_m, radius_m);
}

double larger_offset(const Box& box, Point place) {
    return std::max({box.x_min - place.x, place.x - box.x_max, box.y_min - place.y, place.y - box.y_max, 0.0});
}

double larger_side(const Box& box) {
    return std::max(box.x_max - box.x_min, box.y_max - box.y_min);
}

// The side of a square that holds about one line, were those in the middle spread evenly, and no more than the size of
// the middle one: a few that are far away or very long do not count.
double rough_spacing_m(const std::vector<Box>& boxes) {
    constexpr std::size_t kLeftOut = 20;  // one in so many at each end of both axes
    constexpr double kLeastM = 1.0;
    std::vector<double> x;
    std::vector<double> y;
    std::vector<double> sizes;
    for (const Box& box : boxes) {
        if (!box.empty()) {
            x.push_back(box.middle().x);
            y.push_back(box.middle().y);
            sizes.push_back(larger_side(box));
        }
    }
    if (sizes.empty()) {
        return kLeastM;
    }
    const auto at = [](std::vector<double>& values, std::size_t place) {
        const auto nth = values.begin() + static_cast<std::ptrdiff_t>(place);
        std::ranges::nth_element(values, nth);
        return *nth;
    };
    const std::size_t low = sizes.size() / kLeftOut;
    const std::size_t high = sizes.size() - 1 - low;
    const double side = std::max(at(x, high) - at(x, low), at(y, high) - at(y, low));
    const double spacing = side / std::sqrt(static_cast<double>(sizes.size()));
    return std::max(std::min(spacing, at(sizes, sizes.size() / 2)), kLeastM);
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
    m_first_radius_m = rough_spacing_m(boxes);
}

NearReach ReachIndex::nearest_around(Point place, double radius_m,
                                     const std::function<bool(std::uint32_t)>& wanted) const {
    NearReach best{kNoReach, radius_m};
    m_index.visit(around_point(place, radius_m), [&](std::uint32_t line) {
        if (!wanted(line)) {
            return;
        }
        const double distance_m = m_chains[line].distance_within(place, best.distance_m);
        if (distance_m < best.distance_m || (distance_m == best.distance_m && line < best.reach)) {
            best = {line, distance_m};
        }
    });
    return best;
}

std::optional<NearReach> ReachIndex::nearest(Point place) const {
    return nearest(place, std::numeric_limits<double>::max(), [](std::uint32_t) { return true; });
}

std::optional<NearReach> ReachIndex::nearest(Point place, double limit_m,
                                             const std::function<bool(std::uint32_t)>& wanted) const {
    if (m_all.empty() || !std::isfinite(place.x) || !std::isfinite(place.y)) {
        return std::nullopt;
    }
    double radius_m = larger_offset(m_all, place) + m_first_radius_m;
    while (true) {
        const NearReach found = nearest_around(place, std::min(radius_m, limit_m), wanted);
        if (found.reach != kNoReach) {
            return found;
        }
        if (!(radius_m < limit_m)) {
            return std::nullopt;
        }
        radius_m *= 2.0;
    }
}

std::vector<NearReach> ReachIndex::within(Point place, double limit_m) const {
    std::vector<NearReach> found;
    for (const std::uint32_t line : m_index.query(around_point(place, limit_m))) {
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
