// The search for a pad once more, from the text of the method and as plainly as can be: every cell of the grid, every
// rule in its order, distances by the loops of measure.hpp, one sort at the end. Shares no line with the search.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>
#include <tuple>
#include <vector>

#include "eaveshed/shape/measure.hpp"
#include "siting/random_site.hpp"

namespace eaveshed::testing {

struct OraclePad {
    int arrangement = 0;  // 0 single, 1 cluster, 2 row
    int stage = 0;
    double lift = 0.0;
    int feed = 0;  // 0 gravity, 1 low, 2 pumped
    double level = 0.0;
    double length = 0.0;
    double pressure = 0.0;  // rounded
    Cell cell = {};
    double pad_elev_m = 0.0;
    double margin_m = 0.0;
    double head_m = 0.0;
    double friction_m = 0.0;
    double exact_kpa = 0.0;
    double full_kpa = 0.0;
    double cut_m = 0.0;
    double fill_sd_m = 0.0;
    double feed_sd_kpa = 0.0;
    double radius_m = 0.0;
    double span_m = 0.0;
    double bearing_deg = 0.0;
};

// A cell that someone measured.
struct OracleVisit {
    std::optional<OraclePad> pad;
    int rule = 10;  // without a pad the one that removes it; with one the first that the visit settles; 10 for none
};

struct OracleAnswer {
    std::vector<OraclePad> eligible;  // best first
    std::array<std::uint64_t, 10> removed{};
    std::size_t cells = 0;
};

class Oracle {
public:
    Oracle(const World& world, const LocalFrame& frame) : w(world), f(frame), t(world.tanks), r(world.rules) {
        roof = f.to_metres(w.roof);
        for (const Building& other : w.others) {
            others.push_back(f.to_metres(other.outline));
        }
        if (w.parcel) {
            parcel = f.to_metres(*w.parcel);
        }
        for (const Obstacle& o : w.obstacles) {
            lines.push_back(f.to_metres(o.line));
            areas.push_back(f.to_metres(o.area));
        }
        sx = w.grid.cell_width * f.metres_per_x;
        sy = w.grid.cell_height * f.metres_per_y;
    }

    OracleAnswer answer() const {
        OracleAnswer out;
        for (std::int64_t row = 0; row < w.grid.rows; ++row) {
            for (std::int64_t col = 0; col < w.grid.cols; ++col) {
                look_at({row, col}, out);
            }
        }
        std::sort(out.eligible.begin(), out.eligible.end(),
                  [](const OraclePad& a, const OraclePad& b) { return before(a, b); });
        return out;
    }

    // The text on a measured place: slope, cut, parcel, setbacks and exclusions are settled, the rest is not.
    OracleVisit visit(Cell c) const {
        const Point crs = w.grid.centre(c);
        const Point m = f.to_metres(crs);
        const double own = distance_to_area(roof, m);
        OracleVisit out;
        if (own > r.max_fill_m || std::isnan(horn(c))) {
            out.rule = 0;
            return out;
        }
        std::vector<OraclePad> ways{{.arrangement = t.count == 1 ? 0 : 1, .radius_m = rho()}};
        std::vector<Ground> grounds{on_one_circle(c, crs, m)};
        if (t.count > 1) {
            grounds.push_back(in_a_row(c, crs));
            ways.push_back(
                {.arrangement = 2, .radius_m = rho1(), .span_m = span(), .bearing_deg = grounds.back().bearing_deg});
        }
        int removing = 0;
        for (std::size_t i = 0; i < ways.size(); ++i) {
            const bool gap = std::isnan(grounds[i].cut_m);
            const int rule = gap ? 0 : rule_of_heights(c, m, own, grounds[i], ways[i]);
            if (rule < 10) {
                removing = std::max(removing, rule);
            } else if (!out.pad || before(ways[i], *out.pad)) {
                OraclePad scratch = ways[i];
                const int settled = first_failed(c, m, own, grounds[i], scratch);
                out.pad = ways[i];
                out.rule = horn(c) * 100 > r.limits[PadReason::slope] ? 1 : settled;
            }
        }
        if (!out.pad) {
            out.rule = removing;
        }
        return out;
    }

    double z(std::int64_t row, std::int64_t col) const {
        const bool inside = row >= 0 && row < w.grid.rows && col >= 0 && col < w.grid.cols;
        return inside ? w.elev_m[static_cast<std::size_t>(row * w.grid.cols + col)] : std::nan("");
    }
    // East and north. In degrees a cell's size is that of its own row.
    std::pair<double, double> gradient(Cell c) const {
        double gx = 0.0;
        double gy = 0.0;
        const auto k = w.slope_reach;
        for (std::int64_t i = -1; i <= 1; ++i) {
            for (std::int64_t j = -1; j <= 1; ++j) {
                const double weight = i == 0 || j == 0 ? 2.0 : 1.0;
                gx += static_cast<double>(j) * weight * z(c.row + i * k, c.col + j * k);
                gy -= static_cast<double>(i) * weight * z(c.row + i * k, c.col + j * k);
            }
        }
        const LocalFrame own = w.metric.frame_at(w.grid.centre(c));
        return {gx / (8.0 * static_cast<double>(k) * w.grid.cell_width * own.metres_per_x),
                gy / (8.0 * static_cast<double>(k) * w.grid.cell_height * own.metres_per_y)};
    }
    double horn(Cell c) const {
        const auto [east, north] = gradient(c);
        return std::hypot(east, north) + (z(c.row, c.col) - z(c.row, c.col));
    }
    // Between the four cells around a place of the terrain's CRS; missing ones drop out.
    double bilinear(Point crs) const {
        const double x = (crs.x - w.grid.x_min) / w.grid.cell_width - 0.5;
        const double y = (w.grid.y_max - crs.y) / w.grid.cell_height - 0.5;
        double sum = 0.0;
        double weights = 0.0;
        for (const double row : {std::floor(y), std::floor(y) + 1.0}) {
            for (const double col : {std::floor(x), std::floor(x) + 1.0}) {
                const double weight = (1.0 - std::abs(y - row)) * (1.0 - std::abs(x - col));
                const double value = z(static_cast<std::int64_t>(row), static_cast<std::int64_t>(col));
                if (!std::isnan(value)) {
                    sum += weight * value;
                    weights += weight;
                }
            }
        }
        return sum / weights;
    }
    double nearest_building(double own, Point m) const {
        double nearest = own;
        for (const MultiPolygon& other : others) {
            nearest = std::min(nearest, distance_to_area(other, m));
        }
        return nearest;
    }

private:
    static double r6(double v) { return std::floor(v * 1e6 + 0.5) / 1e6; }
    static bool before(const OraclePad& a, const OraclePad& b) {
        return std::tuple(a.stage, -a.lift, a.feed, -a.level, a.length, -a.pressure, a.cell.row, a.cell.col,
                          a.arrangement) < std::tuple(b.stage, -b.lift, b.feed, -b.level, b.length, -b.pressure,
                                                      b.cell.row, b.cell.col, b.arrangement);
    }

    struct Circle {
        Point crs;
        Point m;
        double radius = 0.0;
    };
    // The circles of an arrangement, the pad's height and its cut; heights are NaN in a gap, `steep` says that a tank
    // of a row stands on ground that is too steep.
    struct Ground {
        std::vector<Circle> circles;
        double pad_elev_m = std::nan("");
        double cut_m = std::nan("");
        bool steep = false;
        double bearing_deg = 0.0;
    };

    double rho1() const { return t.diameter_m / 2 + r.pad_margin_m; }
    double rho() const {
        const double packings[] = {1.0, 2.0, 2.1547, 2.4142, 2.7013, 3.0, 3.0};
        const double packing = t.count <= 7 ? packings[t.count - 1] : std::sqrt(t.count / 0.68);
        return t.count == 1 ? rho1() : packing * (t.diameter_m + r.pad_margin_m) / 2 + r.pad_margin_m / 2;
    }
    double span() const { return (t.count - 1) * (t.diameter_m + r.pad_margin_m); }

    Ground on_one_circle(Cell c, Point crs, Point m) const {
        Ground g;
        g.circles.push_back({crs, m, rho()});
        const double s = horn(c);
        double low = z(c.row, c.col) - rho() * s;
        double high = z(c.row, c.col) + rho() * s;
        if (t.count > 1) {
            const auto across = static_cast<std::int64_t>(rho() / sx) + 1;
            const auto down = static_cast<std::int64_t>(rho() / sy) + 1;
            for (std::int64_t i = -down; i <= down; ++i) {
                for (std::int64_t j = -across; j <= across; ++j) {
                    if (std::hypot(static_cast<double>(j) * sx, static_cast<double>(i) * sy) > rho() + 1e-9) {
                        continue;
                    }
                    const double there = z(c.row + i, c.col + j);
                    if (std::isnan(there)) {
                        return g;
                    }
                    low = std::min(low, there);
                    high = std::max(high, there);
                }
            }
        }
        g.pad_elev_m = low;
        g.cut_m = high - low;
        return g;
    }

    Ground in_a_row(Cell c, Point crs) const {
        Ground g;
        const auto [east, north] = gradient(c);
        const double s = std::hypot(east, north);
        const double ux = s == 0.0 ? 1.0 : -north / s;
        const double uy = s == 0.0 ? 0.0 : east / s;
        const double degrees = std::atan2(ux, uy) * 180.0 / std::numbers::pi;
        g.bearing_deg = std::fmod(r6(degrees < 0.0 ? degrees + 180.0 : degrees), 180.0);
        double low = 1e300;
        double high = -1e300;
        bool gap = false;
        for (int i = 0; i < t.count; ++i) {
            const double along = -span() / 2 + i * (t.diameter_m + r.pad_margin_m);
            const Point at{crs.x + along * ux / f.metres_per_x, crs.y + along * uy / f.metres_per_y};
            g.circles.push_back({at, f.to_metres(at), rho1()});
            const Cell holder{static_cast<std::int64_t>(std::floor(r6((w.grid.y_max - at.y) / w.grid.cell_height))),
                              static_cast<std::int64_t>(std::floor(r6((at.x - w.grid.x_min) / w.grid.cell_width)))};
            const double si = horn(holder);
            if (std::isnan(si)) {
                gap = true;
                continue;
            }
            g.steep = g.steep || si * 100 > r.limits[PadReason::slope];
            low = std::min(low, bilinear(at) - rho1() * si);
            high = std::max(high, bilinear(at) + rho1() * si);
        }
        if (!gap) {
            g.pad_elev_m = low;
            g.cut_m = high - low;
        }
        return g;
    }

    template <typename Fails>
    static bool any(const Ground& g, Fails fails) {
        return std::any_of(g.circles.begin(), g.circles.end(), fails);
    }

    // Number of the first rule, from the third on, that tanks which stand so fail; 10 for none. Fills `p` on the way.
    int first_failed(Cell c, Point m, double own, const Ground& g, OraclePad& p) const {
        if (std::isnan(g.cut_m)) {
            return 0;
        }
        if (g.steep) {
            return 1;
        }
        if (g.cut_m > r.limits[PadReason::cut]) {
            return 2;
        }
        if (any(g, [&](const Circle& at) {
                return w.parcel ? !contains(*w.parcel, at.crs)
                                : nearest_building(1e300, at.m) < distance_to_area(roof, at.m);
            })) {
            return 3;
        }
        if (w.parcel && any(g, [&](const Circle& at) {
                return distance_to_edge(parcel, at.m) < r.limits[PadReason::boundary_setback] + at.radius;
            })) {
            return 4;
        }
        if (any(g, [&](const Circle& at) {
                return nearest_building(distance_to_area(roof, at.m), at.m) <
                       r.limits[PadReason::building_setback] + at.radius;
            })) {
            return 5;
        }
        for (std::size_t i = 0; i < w.obstacles.size(); ++i) {
            if (w.obstacles[i].layer == 0 && any(g, [&](const Circle& at) {
                    return distance_to_line(lines[i], at.m) < w.obstacles[i].setback_m + at.radius;
                })) {
                return 6;
            }
        }
        for (std::size_t i = 0; i < w.obstacles.size(); ++i) {
            if (w.obstacles[i].layer > 0 && any(g, [&](const Circle& at) {
                    return distance_to_area(areas[i], at.m) < w.obstacles[i].setback_m + at.radius;
                })) {
                return 7;
            }
        }
        return rule_of_heights(c, m, own, g, p);
    }

    int rule_of_heights(Cell c, Point m, double own, const Ground& g, OraclePad& p) const {
        p.pad_elev_m = g.pad_elev_m;
        p.cut_m = g.cut_m;
        p.margin_m = w.eave_elev_m - (p.pad_elev_m + t.height_m) - r.fill_loss_m - r.fill_gradient * own;
        if (p.margin_m < -r.limits[PadReason::lift]) {
            return 8;
        }
        p.head_m = p.pad_elev_m + r.outlet_height_m + t.reserve_depth_m - (w.use_elev_m + r.tap_height_m);
        if (p.head_m < -r.limits[PadReason::feed_lift]) {
            return 9;
        }
        rank(c, m, own, horn(c), p);
        return 10;
    }

    void rank(Cell c, Point m, double own, double s, OraclePad& p) const {
        const Point use = f.to_metres(w.use);
        const double pipe = 1.1 * std::sqrt(std::pow(m.x - use.x, 2) + std::pow(m.y - use.y, 2) +
                                            std::pow(p.pad_elev_m - w.use_elev_m, 2));
        p.friction_m = 10.67 * pipe * std::pow(0.25e-3, 1.852) / (std::pow(150.0, 1.852) * std::pow(0.032, 4.8704));
        p.exact_kpa = 9.80665 * (p.head_m - p.friction_m) - r.filter_loss_kpa;
        p.full_kpa = p.exact_kpa + 9.80665 * (t.height_m - r.outlet_height_m - t.reserve_depth_m);
        const double s0 = r.elevation_sd_m;
        const double sp2 = s0 * s0 + std::pow(s * std::min(sx, sy), 2) / 12;
        p.fill_sd_m = std::sqrt(sp2 + s0 * s0 + w.eave_sd_m * w.eave_sd_m);
        p.feed_sd_kpa = 9.80665 * std::sqrt(sp2 + s0 * s0);
        const double margin = r6(p.margin_m);
        const bool sure = margin >= r6(1.2815515655446004 * p.fill_sd_m);
        p.pressure = r6(p.exact_kpa);
        p.feed = p.pressure >= r.required_kpa ? 0 : p.pressure >= r.minimum_kpa ? 1 : 2;
        p.stage = margin < 0 ? 5 : p.feed < 2 ? (sure ? 1 : 2) : (sure ? 3 : 4);
        p.lift = p.stage == 5 ? std::floor(margin / r.lift_step_m) : 0.0;
        const double cap = r.required_kpa + 1.2815515655446004 * 9.80665 * s0 * std::numbers::sqrt2;
        p.level = p.feed < 2 ? std::floor(r6(std::min(p.exact_kpa, cap)) / r.pressure_step_kpa) : 0.0;
        p.length = r6(r.fill_weight * own + pipe + p.span_m);
        p.cell = c;
    }

    void look_at(Cell c, OracleAnswer& out) const {
        const Point crs = w.grid.centre(c);
        const Point m = f.to_metres(crs);
        const double own = distance_to_area(roof, m);
        if (own > r.max_fill_m) {
            return;
        }
        ++out.cells;
        const double s = horn(c);
        if (std::isnan(s) || s * 100 > r.limits[PadReason::slope]) {
            ++out.removed[std::isnan(s) ? 0 : 1];
            return;
        }
        OraclePad together{.arrangement = t.count == 1 ? 0 : 1, .radius_m = rho()};
        int rule = first_failed(c, m, own, on_one_circle(c, crs, m), together);
        bool found = rule == 10;
        OraclePad best = together;
        if (t.count > 1) {
            const Ground g = in_a_row(c, crs);
            OraclePad row{.arrangement = 2, .radius_m = rho1(), .span_m = span(), .bearing_deg = g.bearing_deg};
            const int other = first_failed(c, m, own, g, row);
            if (other == 10 && (!found || before(row, best))) {
                best = row;
            }
            found = found || other == 10;
            rule = std::max(rule, other);
        }
        if (found) {
            out.eligible.push_back(best);
        } else {
            ++out.removed[static_cast<std::size_t>(rule)];
        }
    }

    const World& w;
    LocalFrame f;
    Tanks t;
    PadRules r;
    MultiPolygon roof;
    MultiPolygon parcel;
    std::vector<MultiPolygon> others;
    std::vector<Line> lines;  // of the obstacles, like the next
    std::vector<MultiPolygon> areas;
    double sx = 0.0;
    double sy = 0.0;
};

}  // namespace eaveshed::testing
