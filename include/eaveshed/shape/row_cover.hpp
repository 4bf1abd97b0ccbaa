// Which cells of one row of a grid have their centres inside an outline or near its edges: found edge by edge, without
// asking every cell, and equal to asking every cell with contains and the distances of measure.hpp.
#pragma once

#include <boost/container/small_vector.hpp>
#include <cstdint>
#include <span>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/shape/local_frame.hpp"
#include "eaveshed/shape/polygon.hpp"
#include "eaveshed/shape/segment.hpp"

namespace eaveshed {

// Columns [begin, end) of one row.
struct Span {
    std::int64_t begin = 0;
    std::int64_t end = 0;
    friend bool operator==(const Span&, const Span&) = default;
};

// Ascending, apart from each other, none empty. Most rows have few: they take no memory of their own.
using Spans = boost::container::small_vector<Span, 12>;

// Sorts and joins spans that came in any order; empty ones drop out.
void normalise(Spans& spans);
// What of `from` is (not) in `other`; both normal.
void intersect(Spans& from, const Spans& other);
void subtract(Spans& from, const Spans& other);
[[nodiscard]] std::int64_t cell_count(const Spans& spans);

// Strictly inside one of the parts of one of the outlines, as contains says. Immutable after the last add.
class InsideOfRow {
public:
    // Rows and columns outside `range` are never asked for.
    InsideOfRow(const Grid& grid, const CellRange& range);

    // An outline in the grid's CRS.
    void add(const MultiPolygon& outline);

    // Adds spans of the row, not normal yet.
    void find(std::int64_t row, Spans& out) const;

private:
    // The edges [begin, end) that rows of the range can meet, and between which y they lie.
    struct Part {
        std::size_t begin = 0;
        std::size_t end = 0;
        double y_min = 0.0;
        double y_max = 0.0;
    };
    void find_in_part(const Part& part, std::int64_t row, double y, Spans& out) const;
    [[nodiscard]] bool holds(const Part& part, Point point) const;

    Grid m_grid;
    CellRange m_range;
    Box m_centres;  // of the range, in the grid's CRS
    std::vector<Segment> m_edges;
    std::vector<Part> m_parts;
};

// Near some edge of outlines. Immutable after the last add.
class NearEdgesOfRow {
public:
    NearEdgesOfRow(const LocalFrame& frame, const Grid& grid, const CellRange& range);

    // The edges of an outline or line in metres of the frame; those farther than `reach_m` from all cells of the range
    // are left out.
    void add(const MultiPolygon& metres, double reach_m);
    void add(const Line& metres, double reach_m);

    // Lowers `squares`, one a place, to the squared distance in m2 to the nearest edge where that is smaller and within
    // the reach; beyond it the square may stay as it is. The places lie at one `y` and evenly spaced, ascending `x`, in
    // metres.
    void lower_squares(double y, std::span<const double> x, std::span<double> squares) const;

    // Adds spans of the cells nearer to some edge than `limit_m` (at most the reach), not normal yet.
    void find_nearer(std::int64_t row, double limit_m, Spans& out) const;
    // The same with those exactly so far away.
    void find_within(std::int64_t row, double limit_m, Spans& out) const;

private:
    // What every row asks of an edge, reckoned once.
    struct Edge {
        Segment segment;
        double y_low = 0.0;
        double y_high = 0.0;
        double dx = 0.0;
        double dy = 0.0;
        double length = 0.0;
        double per_dx = 0.0;  // 1 / dx; 0 where dx is
        double per_dy = 0.0;
    };
    struct Interval;
    static Interval near_edge(const Edge& edge, double y, double limit);
    template <bool kWithEqual>
    void find(std::int64_t row, double limit_m, Spans& out) const;

    LocalFrame m_frame;
    Grid m_grid;
    CellRange m_range;
    Box m_centres;         // of the range, in metres
    double m_reach = 0.0;  // the longest of those given
    std::vector<Edge> m_edges;
};

// The least square whose root is not below `limit_m`; less than any where the limit is not above 0. So a squared
// distance below this is that of a distance below the limit, and no other is.
[[nodiscard]] double least_square_not_nearer(double limit_m);

}  // namespace eaveshed
