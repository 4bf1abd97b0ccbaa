// A table whose places stand in two columns of numbers. Private to the module.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/grid.hpp"

class OGRFeature;

namespace eaveshed {

struct PointColumns {
    int x = 0;  // places of the fields in the layer
    int y = 0;
    bool in_degrees = false;  // longitude and latitude

    // None where one of the two is no number that can be read in one way (core/number_spelling.hpp).
    [[nodiscard]] std::optional<Point> place(const OGRFeature& feature) const;
};

// The names that the columns may have, in words, for messages.
[[nodiscard]] std::string point_column_names();

// By their names, in whatever case: x and y, lon and lat, easting and northing, and the like.
[[nodiscard]] std::optional<PointColumns> find_point_columns(const std::vector<std::string>& fields);

// ISO WKB.
[[nodiscard]] std::vector<unsigned char> wkb_of(Point point);

}  // namespace eaveshed
