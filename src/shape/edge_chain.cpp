#include "eaveshed/shape/edge_chain.hpp"

#include "eaveshed/core/constants.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <utility>

namespace eaveshed {

namespace {

// A bound above a squared distance by more than the rounding of either squared_distance: 1e-12 in distances up to 1e4,
// one part in a million of the square beyond.
double with_slack(double squared) {
    return squared * (1.0 + 1e-6) + 1e-18;
}

double squared_distance_to_box(const Box& box, Point point) {
    const double dx = std::max({box.x_min - point.x, 0.0, point.x - box.x_max});
    const double dy = std::max({box.y_min - point.y, 0.0, point.y - box.y_max});
    return dx * dx + dy * dy;
}

}  // namespace

double squared_search_limit(double limit) {
    return with_slack(limit * limit);
}

EdgeChain::EdgeChain(std::vector<Point> points) : m_points(std::move(points)) {
    for (const Point& point : m_points) {
        m_box.add(point);
    }
    if (m_points.size() < 2) {
        return;
    }
    std::vector<Box> boxes((m_points.size() - 1 + kRun - 1) / kRun);
    for (std::size_t i = 0; i + 1 < m_points.size(); ++i) {
        boxes[i / kRun].add(m_points[i]);
        boxes[i / kRun].add(m_points[i + 1]);
    }
    m_levels.push_back(std::move(boxes));
    while (m_levels.back().size() > 1) {
        const std::vector<Box>& below = m_levels.back();
        std::vector<Box> above((below.size() + kRun - 1) / kRun);
        for (std::size_t i = 0; i < below.size(); ++i) {
            above[i / kRun].add(below[i]);
        }
        m_levels.push_back(std::move(above));
    }
}

EdgeChain::EdgeRange EdgeChain::edges_below(std::size_t level, std::size_t index) const {
    std::size_t width = kRun;
    for (std::size_t i = 0; i < level; ++i) {
        width *= kRun;
    }
    return {index * width, std::min((index + 1) * width, m_points.size() - 1)};
}

double EdgeChain::squared_distance_below(Point point, double best) const {
    if (m_levels.empty()) {
        return m_points.empty() ? best : std::min(best, squared_distance({m_points[0], m_points[0]}, point));
    }
    if (squared_distance_to_box(m_box, point) > with_slack(best)) {
        return best;
    }
    return nearest(m_levels.size() - 1, 0, point, best);
}

double EdgeChain::nearest(std::size_t level, std::size_t index, Point point, double best) const {
    if (level == 0) {
        const EdgeRange range = edges_below(0, index);
        for (std::size_t i = range.begin; i < range.end; ++i) {
            best = std::min(best, squared_distance(edge(i), point));
        }
        return best;
    }
    const std::vector<Box>& boxes = m_levels[level - 1];
    const std::size_t begin = index * kRun;
    const std::size_t size = std::min(begin + kRun, boxes.size()) - begin;
    std::array<double, kRun> squared{};
    std::size_t first = 0;
    for (std::size_t i = 0; i < size; ++i) {
        squared[i] = squared_distance_to_box(boxes[begin + i], point);
        first = squared[i] < squared[first] ? i : first;
    }
    // The nearest box first: what it holds rules most of the others out.
    if (squared[first] <= with_slack(best)) {
        best = nearest(level - 1, begin + first, point, best);
    }
    for (std::size_t i = 0; i < size; ++i) {
        if (i != first && squared[i] <= with_slack(best)) {
            best = nearest(level - 1, begin + i, point, best);
        }
    }
    return best;
}

double EdgeChain::distance(Point point) const {
    return std::sqrt(squared_distance_below(point, kInfinity));
}

double EdgeChain::distance_within(Point point, double limit) const {
    const double distance = std::sqrt(squared_distance_below(point, squared_search_limit(limit)));
    if (distance > limit) {
        return kInfinity;
    }
    return distance;
}

void EdgeChain::count(RayCount& ray) const {
    if (!m_levels.empty()) {
        count(m_levels.size() - 1, 0, ray);
    }
}

void EdgeChain::count(std::size_t level, std::size_t index, RayCount& ray) const {
    const Box& box = m_levels[level][index];
    const Point point = ray.point();
    if (box.y_max < point.y || box.y_min > point.y || box.x_max < point.x) {
        return;
    }
    const EdgeRange range = edges_below(level, index);
    if (box.x_min > point.x) {
        ray.add_chain_to_the_right(m_points[range.begin].y, m_points[range.end].y);
        return;
    }
    if (level == 0) {
        for (std::size_t i = range.begin; i < range.end; ++i) {
            ray.add(edge(i));
        }
        return;
    }
    const std::size_t end = std::min((index + 1) * kRun, m_levels[level - 1].size());
    for (std::size_t i = index * kRun; i < end; ++i) {
        count(level - 1, i, ray);
    }
}

}  // namespace eaveshed
