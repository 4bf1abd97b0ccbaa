// An outline laid out for many questions, as the search for a pad asks them: thousands of cells to one parcel or roof.
#pragma once

#include <vector>

#include "eaveshed/shape/edge_chain.hpp"
#include "eaveshed/shape/polygon.hpp"

namespace eaveshed {

// Immutable after construction; safe to query from several threads. Answers are those of measure.hpp, to the last
// digit. Laying out costs one pass over the vertices and pays after a handful of questions; a question then costs about
// the logarithm of the number of vertices.
class PreparedArea {
public:
    PreparedArea() = default;
    explicit PreparedArea(const MultiPolygon& outline);

    // Empty for an empty outline.
    [[nodiscard]] const Box& box() const { return m_box; }

    // Strictly inside one of the parts: a point on an edge or in a hole is not.
    [[nodiscard]] bool contains(Point point) const;

    // 0 inside or on the edge; infinite for an empty outline.
    [[nodiscard]] double distance_to_area(Point point) const;
    // The same where it is at most `limit` (not negative), else infinite: much less work far away.
    [[nodiscard]] double distance_to_area_within(Point point, double limit) const;

    // Distance to the nearest edge, outer or hole, from either side; infinite for an empty outline.
    [[nodiscard]] double distance_to_edge(Point point) const;
    // The same where it is at most `limit` (not negative), else infinite.
    [[nodiscard]] double distance_to_edge_within(Point point, double limit) const;

private:
    struct Part {
        Box box;
        std::vector<EdgeChain> rings;  // outer, then holes
    };
    [[nodiscard]] static RayCount count(const Part& part, Point point);
    [[nodiscard]] bool touches(Point point) const;
    [[nodiscard]] double squared_distance_below(Point point, double best) const;

    std::vector<Part> m_parts;
    Box m_box;
};

}  // namespace eaveshed
