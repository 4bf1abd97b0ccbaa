// Where gauges stand: a table with a line for each station.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/grid.hpp"
#include "eaveshed/crs/crs.hpp"

namespace eaveshed {

// Which columns of a table hold places.
struct PlaceColumns {
    std::optional<std::size_t> id;
    std::size_t x = 0;
    std::size_t y = 0;
    bool lon_lat = false;
};

// By their names; none without both coordinates. Where x and y and degrees are there x and y count.
[[nodiscard]] std::optional<PlaceColumns> find_place_columns(const std::vector<std::string>& header);

struct GaugePlace {
    std::string id;
    Point place;  // as the table has it
};

struct GaugePlaces {
    std::string where;
    std::string file;
    bool lon_lat = false;            // degrees of WGS 84; else x and y in the footprints' CRS
    std::vector<GaugePlace> places;  // in the table's order, each id once

    [[nodiscard]] std::vector<std::string> ids() const;
};

// Columns: id (or station, name, ...), and x and y (or easting and northing) or lon and lat. Where both are there x and
// y count. Throws input errors: a column that is missing, an id twice or empty, a coordinate that is no number, a
// latitude beyond 90 degrees.
[[nodiscard]] GaugePlaces read_gauge_places(const std::string& setting, const std::string& path, Findings& findings);

// The places in degrees of the geographic CRS that the footprints' CRS is based on, in their order. Throws an input
// error for a place that cannot be brought there.
[[nodiscard]] std::vector<Point> degrees_of(const GaugePlaces& places, const Crs& footprints);

}  // namespace eaveshed
