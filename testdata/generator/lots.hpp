// Lots along the valley roads. Lots are spans of knots (kKnot_m apart along the valley) between two of a set of lines
// that follow the valley, so neighbours share every vertex: no gaps, no overlaps.
//
//   line 0        creek-side back fence
//   line 1 + 3r   lower edge of road r        lots of lane 2r lie below road r
//   line 2 + 3r   upper edge of road r        lots of lane 2r + 1 lie above it
//   line 3 + 3r   back fence shared with the lots below road r + 1
#pragma once
#include <vector>

#include "streams.hpp"

namespace demo {

struct Lot {
    int valley = 0;
    int side = 1;   // -1 west of the stream, +1 east
    int lane = 0;   // see above
    int first = 0;  // knots
    int last = 0;
    double score = 0.0;  // settled from the highest down
    [[nodiscard]] int road() const { return lane / 2; }
};

class LotGrid {
public:
    LotGrid(const BasinPlan& plan, const Terrain& terrain);

    static constexpr double kKnot_m = 10.0;
    [[nodiscard]] int road_count() const { return m_road_count; }
    [[nodiscard]] int knot_count() const { return m_knot_count; }
    [[nodiscard]] Point node(int valley, int side, int line, int knot) const;
    [[nodiscard]] Line along_line(int valley, int side, int line, int first, int last) const;
    [[nodiscard]] Point road_point(int valley, int side, int road, int knot) const;  // on its centre line
    [[nodiscard]] Ring ring(const Lot& lot) const;
    [[nodiscard]] int front_line(const Lot& lot) const { return lot.road() * 3 + (lot.lane % 2 == 0 ? 1 : 2); }
    [[nodiscard]] int back_line(const Lot& lot) const { return lot.road() * 3 + (lot.lane % 2 == 0 ? 0 : 3); }

    // Knots where a lane crosses the valley; lots stop one knot short of the next.
    [[nodiscard]] const std::vector<int>& cross_knots(int valley) const {
        return m_cross_knots[static_cast<std::size_t>(valley)];
    }

    // All places a lot could be, highest score first.
    [[nodiscard]] std::vector<Lot> candidates(const StreamIndex& streams) const;

private:
    [[nodiscard]] double line_offset_m(int valley, int side, int line, int knot) const;
    [[nodiscard]] double score(int valley, int side, int lane, int knot) const;
    int frontage_knots(double score, Random& random) const;
    void walk(int valley, int side, int lane, const StreamIndex& streams, std::vector<Lot>& out) const;
    [[nodiscard]] bool buildable(const Lot& lot, const StreamIndex& streams) const;
    void place_villages(int valley);
    [[nodiscard]] int roads_needed() const;

    BasinPlan m_plan;
    const Terrain& m_terrain;
    int m_knot_count;
    int m_road_count;
    std::vector<std::vector<int>> m_cross_knots;
    std::vector<std::vector<double>> m_village_along_m;
};

}  // namespace demo
