// What the climate turned out to be: grids, or gauges.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/calendar.hpp"
#include "eaveshed/core/grid.hpp"
#include "eaveshed/core/step_field.hpp"
#include "eaveshed/core/timeline.hpp"
#include "eaveshed/crs/crs.hpp"
#include "eaveshed/settings/settings.hpp"

namespace eaveshed {

// A station of a table of gauges.
struct GaugeStation {
    std::string id;
    std::optional<Point> degrees{};  // longitude and latitude in the geographic CRS that the footprints' is based on;
                                     // none of the only one, which counts everywhere
    std::optional<Date> first{};     // days or months with a value; none of a mean year, or without any
    std::optional<Date> last{};
    double missing_share = 0.0;            // of the record's steps
    std::optional<double> mean_year_mm{};  // of rain; none where a month never has a value
};

// A table of gauges as it was understood.
struct GaugeTableInfo {
    std::string where{};
    std::vector<std::string>
        files{};  // of the table; of temperatures that of the minima and, where it is another, of the maxima
    std::string places_where{};
    std::vector<std::string> place_files{};  // the table of their places; empty without one
    std::vector<std::string> normals_files{};
    std::vector<GaugeStation> stations{};  // by id
    std::size_t nearest = 1;               // how many of them a roof may draw on
    std::string dates{};                   // which of day and month comes first, in words; empty where all dates tell
};

// A rain record as it was understood, before any cell is read.
struct RainInfo {
    std::string where;
    std::vector<std::string> files;
    Grid grid;  // of gridded rain
    Crs crs;    // of the grid, or of the gauges' places
    Timeline timeline;
    RainUnit unit = RainUnit::mm;            // as stated by the file or the settings
    std::optional<GaugeTableInfo> gauges{};  // where no grid but gauges tell the rain
};

// Twelve-band fields, January first.
struct MonthField {
    std::string where;
    std::vector<std::string> files;
    Crs crs;
    StepField field;  // 12 steps
};

}  // namespace eaveshed
