// The search for a pad once more, from the text of the method and as plainly as can be: every cell of the grid, every
// rule in its order, distances by the loops of measure.hpp, one sort at the end. Shares no line with the search.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <tuple>
#include <vector>

#include "eaveshed/shape/measure.hpp"
#include "siting/random_site.hpp"

namespace eaveshed::testing {

struct OraclePad {
    int stage = 0;
    int feed = 0;  // 0 gravity, 1 low, 2 pumped
    double level = 0.0;
    double length = 0.0;
    double pressure = 0.0;  // rounded
    Cell cell;
    double pad_elev_m = 0.0;
    double margin_m = 0.0;
    double head_m = 0.0;
    double friction_m = 0.0;
    double exact_kpa = 0.0;
    double full_kpa = 0.0;
    double cut_m = 0.0;
    double fill_sd_m = 0.0;
    double feed_sd_kpa = 0.0;
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
        std::sort(out.eligible.begin(), out.eligible.end(), [](const OraclePad& a, const OraclePad& b) {
            return std::tuple(a.stage, a.feed, -a.level, a.length, -a.pressure, a.cell.row, a.cell.col) <
                   std::tuple(b.stage, b.feed, -b.level, b.length, -b.pressure, b.cell.row, b.cell.col);
        });
        return out;
    }

    double z(std::int64_t row, std::int64_t col) const {
        const bool inside = row >= 0 && row < w.grid.rows && col >= 0 && col < w.grid.cols;
        return inside ? w.elev_m[static_cast<std::size_t>(row * w.grid.cols + col)] : std::nan("");
    }
    double horn(Cell c) const {
        double gx = 0.0;
        double gy = 0.0;
        const auto k = w.slope_reach;
        for (std::int64_t i = -1; i <= 1; ++i) {
            for (std::int64_t j = -1; j <= 1; ++j) {
                const double weight = i == 0 || j == 0 ? 2.0 : 1.0;
                gx += static_cast<double>(j) * weight * z(c.row + i * k, c.col + j * k);
                gy += static_cast<double>(i) * weight * z(c.row + i * k, c.col + j * k);
            }
        }
        return std::hypot(gx / (8.0 * static_cast<double>(k) * sx), gy / (8.0 * static_cast<double>(k) * sy));
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

    // Number of the first rule that the cell fails; 10 for none. Fills `p` on the way.
    int first_failed(Cell c, Point crs, Point m, double own, OraclePad& p) const {
        const double packings[] = {1.0, 2.0, 2.1547, 2.4142, 2.7013, 3.0, 3.0};
        const double packing = t.count <= 7 ? packings[t.count - 1] : std::sqrt(t.count / 0.68);
        const double rho1 = t.diameter_m / 2 + r.pad_margin_m;
        const double rho = packing * t.diameter_m / 2 + r.pad_margin_m;
        const double s = horn(c);
        if (std::isnan(s) || std::isnan(z(c.row, c.col))) {
            return 0;
        }
        if (s * 100 > r.limits[PadReason::slope]) {
            return 1;
        }
        p.cut_m = 2 * rho1 * s;
        if (p.cut_m > r.limits[PadReason::cut]) {
            return 2;
        }
        if (w.parcel ? !contains(*w.parcel, crs) : nearest_building(own, m) < own) {
            return 3;
        }
        if (w.parcel && distance_to_edge(parcel, m) < r.limits[PadReason::boundary_setback] + rho) {
            return 4;
        }
        if (nearest_building(own, m) < r.limits[PadReason::building_setback] + rho) {
            return 5;
        }
        for (std::size_t i = 0; i < w.obstacles.size(); ++i) {
            if (w.obstacles[i].layer == 0 && distance_to_line(lines[i], m) < w.obstacles[i].setback_m + rho) {
                return 6;
            }
        }
        for (std::size_t i = 0; i < w.obstacles.size(); ++i) {
            if (w.obstacles[i].layer > 0 && distance_to_area(areas[i], m) < w.obstacles[i].setback_m + rho) {
                return 7;
            }
        }
        p.pad_elev_m = z(c.row, c.col) - rho1 * s;
        p.margin_m = w.eave_elev_m - (p.pad_elev_m + t.height_m) - r.fill_loss_m - r.fill_gradient * own;
        if (p.margin_m < -r.limits[PadReason::lift]) {
            return 8;
        }
        p.head_m = p.pad_elev_m + r.outlet_height_m + t.reserve_depth_m - (w.use_elev_m + r.tap_height_m);
        if (p.head_m < -r.limits[PadReason::feed_lift]) {
            return 9;
        }
        rank(c, m, own, s, p);
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
        const double cap = r.required_kpa + 1.2815515655446004 * 9.80665 * s0 * std::numbers::sqrt2;
        p.level = p.feed < 2 ? std::floor(r6(std::min(p.exact_kpa, cap)) / r.pressure_step_kpa) : 0.0;
        p.length = r6(r.fill_weight * own + pipe);
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
        OraclePad p;
        const int rule = first_failed(c, crs, m, own, p);
        if (rule < 10) {
            ++out.removed[static_cast<std::size_t>(rule)];
        } else {
            out.eligible.push_back(p);
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
