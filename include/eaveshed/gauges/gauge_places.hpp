// Where gauges stand: a table with a line for each station.
#pragma once

#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/grid.hpp"
#include "eaveshed/crs/crs.hpp"

namespace eaveshed {

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
