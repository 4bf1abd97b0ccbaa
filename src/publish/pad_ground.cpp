#include "eaveshed/publish/pad_ground.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace eaveshed {

namespace {

constexpr int kCorners = 16;  // off the circle by 2 % of its radius at most

// Along the row and across it, to the left, from the pad's place.
struct RowFrame {
    Point centre;
    double along_x = 1.0;
    double along_y = 0.0;

    [[nodiscard]] Point at(double along, double across) const {
        return {centre.x + along * along_x - across * along_y, centre.y + along * along_y + across * along_x};
    }
};

// The corners of an arc that runs to the left (counterclockwise) from one angle to another; where the ring has come to
// the arc's first corner already, that stands once.
void add_arc(const RowFrame& row, double along, double radius_m, double from, double to, Ring& ring) {
    const double step = 2.0 * std::numbers::pi / kCorners;
    const int pieces = std::max(1, static_cast<int>(std::ceil((to - from) / step - 1e-9)));
    for (int i = ring.empty() ? 0 : 1; i <= pieces; ++i) {
        const double angle = from + (to - from) * i / pieces;
        ring.push_back(row.at(along + radius_m * std::cos(angle), radius_m * std::sin(angle)));
    }
}

Ring circle(const RowFrame& row, double along, double radius_m) {
    Ring ring;
    add_arc(row, along, radius_m, 0.0, 2.0 * std::numbers::pi, ring);
    ring.back() = ring.front();
    return ring;
}

// The outline of equal circles in a row, each of which overlaps the next: there along the right side, back along the
// left. Neighbours meet at `meet`, the angle between the row and their crossing.
Ring chain(const RowFrame& row, int count, double spacing_m, double radius_m) {
    constexpr double kHalf = 0.5;
    constexpr double kPi = std::numbers::pi;
    const double meet = std::acos(kHalf * spacing_m / radius_m);
    const double first = -kHalf * spacing_m * (count - 1);
    Ring ring;
    for (int i = 0; i < count; ++i) {
        add_arc(row, first + spacing_m * i, radius_m, i == 0 ? kPi : kPi + meet,
                i + 1 == count ? 2.0 * kPi : 2.0 * kPi - meet, ring);
    }
    for (int i = count; i-- > 0;) {
        add_arc(row, first + spacing_m * i, radius_m, i + 1 == count ? 0.0 : meet, i == 0 ? kPi : kPi - meet, ring);
    }
    ring.back() = ring.front();
    return ring;
}

MultiPolygon ground_in_metres(const PadRow& pad, Point centre, double pad_margin_m) {
    const double radius_m = pad.pad_radius_m.value();
    if (pad.arrangement != Arrangement::row) {
        return {{{circle({centre}, 0.0, radius_m), {}}}};
    }
    const int count = static_cast<int>(pad.tank_count.value());
    const double bearing = pad.row_bearing_deg.value() / 180.0 * std::numbers::pi;
    const RowFrame row{centre, std::sin(bearing), std::cos(bearing)};
    const double diameter_m = 2.0 * (radius_m - pad_margin_m);
    const double spacing_m = (pad.row_length_m.value() - diameter_m) / (count - 1);
    if (spacing_m < 2.0 * radius_m) {
        return {{{chain(row, count, spacing_m, radius_m), {}}}};
    }
    MultiPolygon apart;  // without a margin they only touch
    for (int i = 0; i < count; ++i) {
        apart.parts.push_back({circle(row, spacing_m * (i - (count - 1) / 2.0), radius_m), {}});
    }
    return apart;
}

void each_point(MultiPolygon& outline, auto&& change) {
    for (Polygon& part : outline.parts) {
        for (Point& point : part.outer) {
            point = change(point);
        }
    }
}

}  // namespace

MultiPolygon pad_ground(const PadRow& pad, const LocalFrame& frame, double pad_margin_m) {
    MultiPolygon ground = ground_in_metres(pad, frame.to_metres(pad.place), pad_margin_m);
    each_point(ground, [&](Point point) { return frame.from_metres(point); });
    return ground;
}

}  // namespace eaveshed
