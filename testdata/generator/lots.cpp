#include "lots.hpp"

#include <algorithm>
#include <cmath>

#include "noise.hpp"
#include "portable_math.hpp"

namespace demo {
namespace {

constexpr double kEdge_m = 60.0;        // free strip inside the basin's frame
constexpr double kFirstRoad_m = 100.0;  // from the valley axis
constexpr double kRoadSpacing_m = 160.0;
constexpr double kHalfRoad_m = 5.0;
constexpr double kLotDepth_m = 80.0;
constexpr double kCreekFence_m = 26.0;
constexpr int kMostRoads = 5;
constexpr double kVillageSpacing_m = 2200.0;
constexpr double kVillageReach_m = 340.0;
constexpr double kTown_roofs_per_km2 = 120.0;
constexpr double kCreekReserve_m = 14.0;

bool town(const BasinPlan& plan) {
    return plan.roofs / (plan.width_m * plan.height_m / 1e6) > kTown_roofs_per_km2;
}

double wobble(const BasinPlan& plan, int valley, int side, int which, double along_m) {
    const auto key = Random(plan.seed, Purpose::kLotWalk, {valley, side, which}).next();
    return gradient_noise(key, along_m / 150.0, 0.5);
}

}  // namespace

LotGrid::LotGrid(const BasinPlan& plan, const Terrain& terrain)
    : m_plan(plan),
      m_terrain(terrain),
      m_knot_count(static_cast<int>(plan.height_m / kKnot_m)),
      m_road_count(roads_needed()) {
    for (int v = 0; v < static_cast<int>(terrain.row().valleys.size()); ++v) {
        place_villages(v);
    }
}

int LotGrid::roads_needed() const {
    const double room_m = m_terrain.row().spacing_m / 2.0 - 140.0 - kFirstRoad_m - kLotDepth_m;
    const int fit = std::clamp(1 + static_cast<int>(std::floor(room_m / kRoadSpacing_m)), 1, kMostRoads);
    const double lots_per_road = 4.0 * static_cast<double>(m_terrain.row().valleys.size()) * m_plan.height_m / 50.0;
    const int wanted = static_cast<int>(std::ceil(2.0 * m_plan.roofs / (1.4 * lots_per_road)));
    return std::clamp(wanted, std::min(3, fit), fit);
}

void LotGrid::place_villages(int valley) {
    Random random(m_plan.seed, Purpose::kVillage, {valley});
    const int count = std::max(1, static_cast<int>(std::floor(m_plan.height_m / kVillageSpacing_m + 0.5)));
    std::vector<double> villages;
    for (int i = 0; i < count; ++i) {
        villages.push_back((i + random.range(0.38, 0.58)) / count * m_plan.height_m);
    }
    m_village_along_m.push_back(villages);
    std::vector<int> cross;
    for (int knot = 14 + random.whole(12); knot < m_knot_count - 35; knot += 34 + random.whole(16)) {
        cross.push_back(knot);
    }
    m_cross_knots.push_back(cross);
}

double LotGrid::line_offset_m(int valley, int side, int line, int knot) const {
    const double along = knot * kKnot_m;
    if (line == 0) {
        return kCreekFence_m + 4.0 * (1.0 + wobble(m_plan, valley, side, 100, along));
    }
    const int road = (line - 1) / 3;
    const int part = (line - 1) % 3;  // lower edge, upper edge, back fence
    const double road_offset = kFirstRoad_m + road * kRoadSpacing_m + 12.0 * wobble(m_plan, valley, side, road, along);
    if (part == 0) {
        return road_offset - kHalfRoad_m;
    }
    if (part == 1) {
        return road_offset + kHalfRoad_m;
    }
    return kFirstRoad_m + road * kRoadSpacing_m + kLotDepth_m + 11.0 * wobble(m_plan, valley, side, 50 + road, along);
}

Point LotGrid::node(int valley, int side, int line, int knot) const {
    const Valley& v = m_terrain.row().valleys[static_cast<std::size_t>(valley)];
    return v.to_world(knot * kKnot_m, side * line_offset_m(valley, side, line, knot));
}

Line LotGrid::along_line(int valley, int side, int line, int first, int last) const {
    Line out;
    for (int k = first; k <= last; ++k) {
        out.push_back(node(valley, side, line, k));
    }
    return out;
}

Point LotGrid::road_point(int valley, int side, int road, int knot) const {
    return (node(valley, side, 1 + 3 * road, knot) + node(valley, side, 2 + 3 * road, knot)) * 0.5;
}

Ring LotGrid::ring(const Lot& lot) const {
    Ring out = along_line(lot.valley, lot.side, front_line(lot), lot.first, lot.last);
    Line back = along_line(lot.valley, lot.side, back_line(lot), lot.first, lot.last);
    out.insert(out.end(), back.rbegin(), back.rend());
    return rounded_ring(out);
}

double LotGrid::score(int valley, int side, int lane, int knot) const {
    const double along = knot * kKnot_m;
    double nearest = 1e9;
    for (double village : m_village_along_m[static_cast<std::size_t>(valley)]) {
        nearest = std::min(nearest, std::fabs(along - village));
    }
    const double q = nearest / kVillageReach_m;
    const auto key = Random(m_plan.seed, Purpose::kVillage, {valley, side}).next();
    return portable_exp(-q * q) + 0.5 * gradient_noise(key, along / 190.0, lane * 0.45) - 0.13 * (lane / 2) -
           0.02 * (lane % 2);
}

int LotGrid::frontage_knots(double score, Random& random) const {
    if (town(m_plan)) {
        return random.chance(0.6) ? 3 : 4;
    }
    if (score > 0.55) {
        return 3 + random.weighted({0.45, 0.4, 0.15});
    }
    if (score > 0.15) {
        return 4 + random.weighted({0.3, 0.4, 0.3});
    }
    return 8 + random.whole(7);
}

bool LotGrid::buildable(const Lot& lot, const StreamIndex& streams) const {
    const Ring edge = ring(lot);
    const Point middle = ring_middle(edge);
    for (Point p : edge) {
        if (p.x < kEdge_m || p.y < kEdge_m || p.x > m_plan.width_m - kEdge_m || p.y > m_plan.height_m - kEdge_m) {
            return false;
        }
        const Point half_way = (p + middle) * 0.5;
        if (streams.distance_m(half_way, kCreekReserve_m) < kCreekReserve_m) {
            return false;
        }
        const bool creek_fence = lot.lane == 0 && streams.distance_m(p, kCreekReserve_m) > 8.0;
        if (!creek_fence && streams.distance_m(p, kCreekReserve_m) < kCreekReserve_m) {
            return false;
        }
    }
    return streams.distance_m(middle, 2.0 * kCreekReserve_m) > kCreekReserve_m && m_terrain.slope(middle) < 0.33;
}

void LotGrid::walk(int valley, int side, int lane, const StreamIndex& streams, std::vector<Lot>& out) const {
    Random random(m_plan.seed, Purpose::kLotWalk, {valley, side, lane});
    const std::vector<int>& cross = cross_knots(valley);
    std::size_t next_cross = 0;
    int knot = 6;
    while (knot < m_knot_count - 6) {
        while (next_cross < cross.size() && cross[next_cross] < knot) {
            ++next_cross;
        }
        const int stop = next_cross < cross.size() ? cross[next_cross] : m_knot_count - 6;
        const double here = score(valley, side, lane, knot);
        int last = knot + frontage_knots(here, random);
        if (stop - last < 3) {
            last = stop;  // no scraps before a cross lane
        }
        Lot lot{valley, side, lane, knot, last, here};
        if (last > knot && buildable(lot, streams)) {
            out.push_back(lot);
        }
        knot = last == stop ? stop + 1 : last;
    }
}

std::vector<Lot> LotGrid::candidates(const StreamIndex& streams) const {
    std::vector<Lot> out;
    for (int v = 0; v < static_cast<int>(m_terrain.row().valleys.size()); ++v) {
        for (int side : {-1, 1}) {
            for (int lane = 0; lane < 2 * m_road_count; ++lane) {
                walk(v, side, lane, streams, out);
            }
        }
    }
    std::stable_sort(out.begin(), out.end(), [](const Lot& a, const Lot& b) { return a.score > b.score; });
    return out;
}

}  // namespace demo
