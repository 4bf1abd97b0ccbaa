// From the terrain's CRS to metres on the ground.
#pragma once

#include <cstdint>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/shape/ellipsoid.hpp"
#include "eaveshed/shape/local_frame.hpp"

namespace eaveshed {

// What the siting needs to know of the terrain's CRS. For a projected CRS lengths are the CRS's own times its unit; for
// a geographic one they are degrees times the length of a degree at the place in question.
struct TerrainMetric {
    bool geographic = false;
    double metres_per_unit = 1.0;  // of a projected CRS
    Ellipsoid ellipsoid;           // of a geographic one
    double turn_deg = 0.0;         // of the grid's columns from the CRS's east to its north (crs/turned_crs.hpp)

    // Metres around `origin`, which is in the terrain's CRS.
    [[nodiscard]] LocalFrame frame_at(Point origin) const;
    // The same lengths, of a projected CRS counted from a corner at most 1024 units west and south of the place: most
    // neighbours have it in common, and places less a whole number are exact.
    [[nodiscard]] LocalFrame common_frame_at(Point place) const;
    // A direction as the grid counts it, clockwise from its own north, as the CRS does, and back: degrees, 0 to below
    // 180.
    [[nodiscard]] double bearing_in_crs_deg(double bearing_deg) const { return half_turned(bearing_deg - turn_deg); }
    [[nodiscard]] double bearing_in_grid_deg(double bearing_deg) const { return half_turned(bearing_deg + turn_deg); }

private:
    [[nodiscard]] double half_turned(double bearing_deg) const;
};

// A cell's sides in metres.
struct CellSides {
    double width_m = 0.0;
    double height_m = 0.0;
    [[nodiscard]] double smaller_m() const { return width_m < height_m ? width_m : height_m; }
    [[nodiscard]] double larger_m() const { return width_m < height_m ? height_m : width_m; }
};
// At a place of the terrain's CRS; only its latitude matters, and only for a geographic CRS.
[[nodiscard]] CellSides cell_sides(const Grid& grid, const TerrainMetric& metric, Point place);

}  // namespace eaveshed
