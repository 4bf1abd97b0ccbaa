// The reach nearest to a place.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <vector>

#include "eaveshed/shape/box_index.hpp"
#include "eaveshed/shape/edge_chain.hpp"
#include "eaveshed/shape/polygon.hpp"
#include "eaveshed/stream/reach_tree.hpp"

namespace eaveshed {

struct NearReach {
    std::uint32_t reach = kNoReach;
    double distance_m = 0.0;
    friend bool operator==(const NearReach&, const NearReach&) = default;
};

// Lines in a plane of metres, x to the east and y to the north (a projected CRS times its unit, or a LocalFrame: over
// a basin of 50 km one frame of degrees is off by up to tan(latitude) x 0.8 %). Immutable after construction; safe to
// query from several threads. About 25 bytes a point and 100 a line. A question looks at the lines around the place.
class ReachIndex {
public:
    ReachIndex() = default;
    explicit ReachIndex(const std::vector<Line>& lines);  // numbers are positions; a line without a point is never met

    // The nearest line, of several as near the lowest number; none where there is no line, or the place is no
    // number.
    [[nodiscard]] std::optional<NearReach> nearest(Point place) const;
    // The same among the lines at most `limit_m` away that `wanted` says yes to. Looks wider and wider: what lies far
    // behind the answer costs nothing.
    [[nodiscard]] std::optional<NearReach> nearest(Point place, double limit_m,
                                                   const std::function<bool(std::uint32_t)>& wanted) const;
    // All lines at most `limit_m` away: the nearest first, as near ones by number.
    [[nodiscard]] std::vector<NearReach> within(Point place, double limit_m) const;

private:
    [[nodiscard]] NearReach nearest_around(Point place, double radius_m,
                                           const std::function<bool(std::uint32_t)>& wanted) const;

    std::vector<EdgeChain> m_chains;
    BoxIndex m_index;
    Box m_all;
    double m_first_radius_m = 1.0;
};

}  // namespace eaveshed
