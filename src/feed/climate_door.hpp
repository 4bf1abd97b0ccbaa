// From the footprints' CRS to where a climate raster counts. Private to the module.
#pragma once

#include <optional>
#include <string>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/crs/crs.hpp"

namespace eaveshed {

// A climate raster's way from the footprints' CRS.
class ClimateDoor {
public:
    ClimateDoor(const Crs& from, const Crs& to, const Grid& grid, const std::string& where)
        : m_transform(from, to, where), m_degrees(to.is_geographic()), m_grid(grid) {}

    [[nodiscard]] std::optional<Point> operator()(Point point) const {
        const auto there = m_transform(point);
        return there && m_degrees ? turned_into(m_grid, *there) : there;
    }

private:
    Transform m_transform;
    bool m_degrees;
    Grid m_grid;
};

}  // namespace eaveshed
