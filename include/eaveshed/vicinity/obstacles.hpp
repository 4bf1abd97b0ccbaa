// What tanks keep away from besides buildings and boundaries: streams, and areas, lines and points given as exclusions.
#pragma once

#include <cstdint>
#include <vector>

#include "eaveshed/shape/edge_chain.hpp"
#include "eaveshed/shape/local_frame.hpp"
#include "eaveshed/shape/prepared_area.hpp"
#include "eaveshed/vicinity/surroundings.hpp"

namespace eaveshed {

// A stream or an exclusion, in the terrain's CRS. Only one of the two shapes is given; a point is a line of no length.
struct Obstacle {
    std::uint32_t layer = 0;  // 0: the streams; else the number of the exclusion layer, from 1
    double setback_m = 0.0;   // from the pad's rim
    Line line;
    MultiPolygon area;
    Box box = {};  // of the shape, where whoever made it has looked
};

[[nodiscard]] Box bounds(const Obstacle& obstacle);

// The obstacles near one roof. Immutable after construction.
class Obstacles {
public:
    // `frame`: the roof's metres; of long edges only those within `reach_m` of `around` (in the terrain's CRS) are
    // kept, so that nearer_than answers right for places inside the box and distances up to the reach. The obstacles
    // outlive this.
    Obstacles(const LocalFrame& frame, const std::vector<const Obstacle*>& obstacles, const Box& around,
              double reach_m);

    // Whether some stream is nearer than its setback and `pad_radius_m` together.
    [[nodiscard]] bool near_stream(const Place& place, double pad_radius_m) const;
    // The same of exclusions; a place inside one is at distance 0.
    [[nodiscard]] bool near_exclusion(const Place& place, double pad_radius_m) const;

private:
    struct Shape {
        double setback_m = 0.0;
        PreparedArea area;              // in the terrain's CRS, for what lies inside; empty for a line
        std::vector<EdgeChain> chains;  // runs of edges, in metres
    };
    [[nodiscard]] static bool nearer(const Shape& shape, const Place& place, double pad_radius_m);

    std::vector<Shape> m_streams;
    std::vector<Shape> m_exclusions;
};

}  // namespace eaveshed
