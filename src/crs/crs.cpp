#include "eaveshed/crs/crs.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

bool Crs::same_as(const Crs& other) const {
    if (m_model == other.m_model) {
        return true;
    }
    if (!given() || !other.given()) {
        return false;
    }
    return wkt() == other.wkt() || m_model->same_as(*other.m_model);
}

Transform::Transform(const Crs& from, const Crs& to, const std::string& where) {
    if (!from.given() || !to.given()) {
        internal_error("a transformation from or to no CRS");
    }
    if (!from.same_as(to)) {
        m_operation = to.model()->way_from(*from.model(), where);
        if (m_operation == nullptr) {
            m_operation = from.model()->way_to(*to.model(), where);
        }
    }
}

std::optional<Point> Transform::operator()(Point point) const {
    std::vector<Point> one{point};
    if (!apply(one)) {
        return std::nullopt;
    }
    return one.front();
}

bool Transform::apply(std::vector<Point>& points) const {
    const auto finite = [](Point p) { return std::isfinite(p.x) && std::isfinite(p.y); };
    if (identity()) {
        return std::all_of(points.begin(), points.end(), finite);
    }
    m_x.clear();
    m_y.clear();
    for (const Point point : points) {
        m_x.push_back(point.x);
        m_y.push_back(point.y);
    }
    if (!m_operation->apply(m_x, m_y)) {
        return false;
    }
    for (std::size_t i = 0; i < points.size(); ++i) {
        points[i] = {m_x[i], m_y[i]};
    }
    return true;
}

std::optional<MultiPolygon> Transform::operator()(const MultiPolygon& outline) const {
    std::vector<Point> points;
    (void)mapped(outline, [&](Point point) {
        points.push_back(point);
        return point;
    });
    if (!apply(points)) {
        return std::nullopt;
    }
    auto next = points.begin();
    return mapped(outline, [&](Point /*point*/) { return *next++; });
}

std::optional<Box> Transform::operator()(const Box& box) const {
    if (box.empty() || identity()) {
        return box;
    }
    // What a bent side bulges between two of its points is 1 / kSteps^2 of its whole bulge: the growth covers it.
    constexpr int kSteps = 32;
    constexpr double kGrowth = 1e-3;
    std::vector<Point> points;
    for (int i = 0; i <= kSteps; ++i) {
        const double share = static_cast<double>(i) / kSteps;
        const double x = box.x_min + share * (box.x_max - box.x_min);
        const double y = box.y_min + share * (box.y_max - box.y_min);
        points.insert(points.end(), {{x, box.y_min}, {x, box.y_max}, {box.x_min, y}, {box.x_max, y}});
    }
    if (!apply(points)) {
        return std::nullopt;
    }
    Box out;
    for (const Point point : points) {
        out.add(point);
    }
    return out.grown(kGrowth * (out.x_max - out.x_min), kGrowth * (out.y_max - out.y_min));
}

}  // namespace eaveshed
