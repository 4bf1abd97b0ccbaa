// Where everything lies that the basin's map shows.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "eaveshed/crs/crs.hpp"
#include "eaveshed/report/basin_rows.hpp"
#include "eaveshed/report/relief.hpp"
#include "eaveshed/shape/polygon.hpp"

namespace eaveshed {

struct PadShape {
    Point place;
    Delivery delivery = Delivery::gravity;
    std::size_t row = 0;  // of BasinRows::places
};

struct BasinShapes {
    Crs crs;                             // of all shapes: that of the finished file
    std::vector<MultiPolygon> outlines;  // of BasinRows::places, in their order; empty where there is none
    std::vector<PadShape> pads;          // of those that can be asked, of the level that decides
    std::vector<Line> streams;
    std::optional<Relief> relief;
    std::vector<std::string> left_out;  // in sentences: what the map does not show, and why
};

// What a map of the basin has to show: the outlines of all that can be asked; where nobody can, of all. So one shape in
// a wrong place does not make the map small.
[[nodiscard]] Box extent_of(const BasinRows& rows, const BasinShapes& shapes);

// Outlines, pads and streams from the file. An outline with a coordinate that is not finite is left empty. A file whose
// layers do not fit its rows is an input error.
[[nodiscard]] BasinShapes read_shapes(const std::string& file, const BasinRows& rows);

// Elevations from the inputs, as recorded_project() finds them by `project`; `shown` and `cell_m` as in
// read_relief. An input that is not found, or is none, is left out, with a sentence, and with a warning that says where
// it was looked for; what the disk or the machine refuses is thrown.
void read_ground(BasinShapes& shapes, const BasinRows& rows, const std::string& project, const Box& shown,
                 double cell_m, Findings& findings);

}  // namespace eaveshed
