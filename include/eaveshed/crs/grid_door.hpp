// From one CRS to the places of a grid in another: transformed, and turned round the Earth where that puts a place into
// the grid.
#pragma once

#include <optional>
#include <string>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/crs/crs.hpp"

namespace eaveshed {

// Not thread-safe: one per worker.
class GridDoor {
public:
    // Throws an input error where no way from the one to the other is known.
    GridDoor(const Crs& from, const Crs& to, const Grid& grid, const std::string& where)
        : m_transform(from, to, where), m_degrees(to.is_geographic()), m_grid(grid) {}

    // Whether the grid holds the place is not asked; none where the operation fails.
    [[nodiscard]] std::optional<Point> operator()(Point point) const {
        const auto there = m_transform(point);
        return there && m_degrees ? turned_into(m_grid, *there) : there;
    }
    // The grid's cells reach there.
    [[nodiscard]] bool holds(Point point) const {
        const auto there = (*this)(point);
        return there && m_grid.holds(*there);
    }

private:
    Transform m_transform;
    bool m_degrees;
    Grid m_grid;
};

}  // namespace eaveshed
