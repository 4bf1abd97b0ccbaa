// A line or closed ring laid out for many questions: boxes over runs of edges, boxes over runs of boxes, and so on. The
// edges stay in their order, which along a real outline or stream is nearness enough, so that laying out costs one
// pass.
#pragma once

#include <cstddef>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/shape/segment.hpp"

namespace eaveshed {

// Immutable after construction; safe to query from several threads. A question costs about the logarithm of the number
// of points; the answers have the digits of a plain loop over the edges.
class EdgeChain {
public:
    EdgeChain() = default;
    explicit EdgeChain(std::vector<Point> points);

    [[nodiscard]] const Box& box() const { return m_box; }

    // Distance to the nearest edge; infinite for an empty chain. A chain of one point is that point.
    [[nodiscard]] double distance(Point point) const;
    // The same where it is at most `limit` (not negative), else infinite. The smaller the limit, the less is looked at.
    [[nodiscard]] double distance_within(Point point, double limit) const;

    // The smaller of `best` and the squared distance to the nearest edge: for the least over several chains.
    [[nodiscard]] double squared_distance_below(Point point, double best) const;
    // Counts the chain's edges for the ray.
    void count(RayCount& ray) const;

private:
    static constexpr std::size_t kRun = 16;  // edges in a box of the lowest level, boxes in a box of the others

    // Edges below box `index` of `level`, half open.
    struct EdgeRange {
        std::size_t begin = 0;
        std::size_t end = 0;
    };
    [[nodiscard]] EdgeRange edges_below(std::size_t level, std::size_t index) const;
    [[nodiscard]] Segment edge(std::size_t index) const { return {m_points[index], m_points[index + 1]}; }
    [[nodiscard]] double nearest(std::size_t level, std::size_t index, Point point, double best) const;
    void count(std::size_t level, std::size_t index, RayCount& ray) const;

    std::vector<Point> m_points;
    std::vector<std::vector<Box>> m_levels;  // lowest first; the last has one box; none for fewer than two points
    Box m_box;
};

// Where a search for the nearest edge begins when only distances up to `limit` matter: a little above its square, so
// that no edge at the limit is lost to rounding.
[[nodiscard]] double squared_search_limit(double limit);

}  // namespace eaveshed
