// The bands of gridded climate, from one file or many, as one list: where they lie, what they say of their dates and
// units, and how to read them. What rain, evapotranspiration and temperature share.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "eaveshed/climate/time_axis.hpp"
#include "eaveshed/core/calendar.hpp"
#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/step_field.hpp"
#include "eaveshed/core/timeline.hpp"
#include "eaveshed/raster/raster_dataset.hpp"
#include "eaveshed/store/kept_field.hpp"
#include "eaveshed/store/series_file.hpp"

namespace eaveshed {

// The formats of gridded climate.
[[nodiscard]] const std::vector<std::string>& climate_drivers();

// What the opener has to know of the quantity.
struct StackWish {
    std::string setting;                      // e.g. "rain.source"
    std::vector<std::string> standard_names;  // CF names that pick one variable of several
    std::string calendar;                     // from the settings; empty: from the file
};

struct StackFile {
    std::string path;
    std::string open_name;  // what GDAL opens: the path, or one variable of it
    RasterLayout layout;
    bool pixel_interleaved = false;
    std::vector<BandRule> rules;  // by band
};

struct StackBand {
    std::size_t file = 0;
    int band = 1;  // in the file, from 1
    std::optional<Date> date;
    std::optional<int> month;  // by a name such as "Jan", where there is no date
};

struct ClimateStack {
    std::string setting;
    std::string where;
    std::vector<StackFile> files;
    std::vector<StackBand> bands;
    Grid grid;
    Crs crs;
    NamedCalendar calendar;
    std::set<std::string> units;  // as the bands write them; an empty text when one says nothing
    std::string undated_because;  // when a file has a time axis that cannot be understood
};

// Opens and compares the files. Throws input errors; appends notes.
[[nodiscard]] ClimateStack open_stack(const StackWish& wish, const std::vector<std::string>& paths, Findings& findings);

// The only text that the bands have for their unit; empty when they have none. Two are an input error.
[[nodiscard]] std::string only_unit(const ClimateStack& stack);

// `rain.source "a.tif", band 3 (1990-03-01)`.
[[nodiscard]] std::string band_text(const ClimateStack& stack, std::size_t band);

// The band of each month, January first. By the months that all bands name, or as they come. Throws an input error
// unless there are twelve, each month once.
[[nodiscard]] std::array<std::size_t, 12> bands_by_month(const ClimateStack& stack, Findings& findings);

// The bands of a series in the order of time; a step without a band is missing.
struct StackSeries {
    Date first;
    std::vector<std::optional<std::size_t>> band_of_step;
};
// `start`: from the settings, or empty. Throws input errors: no dates, dates that contradict `start`, two bands for one
// step, mostly holes. A hole is a warning, an order other than that of time a note.
[[nodiscard]] StackSeries bands_by_date(const ClimateStack& stack, RainKind kind, const std::string& start,
                                        Findings& findings);

// Makes a value of the quantity from a band's value (scale and offset applied): step, value, band.
using Conversion = std::function<double(std::size_t step, double value, std::size_t band)>;

// The cells within four cells of `area` (in the grid's CRS), all steps. Longitudes are matched to the area's: the
// field's grid is the stack's, shifted by 360 degrees, or turned about the axis for a grid round the Earth, where that
// is what makes it hold the area. An empty area gives no cells. Throws an input error when they do not meet, a working
// error for what cannot be read.
[[nodiscard]] KeptField read_stack(const ClimateStack& stack, const Box& area,
                                   const std::vector<std::optional<std::size_t>>& band_of_step,
                                   const Conversion& convert, const SeriesRoom& room);
// The same into memory, which has room for it or this is an input error.
[[nodiscard]] StepField read_stack(const ClimateStack& stack, const Box& area,
                                   const std::vector<std::optional<std::size_t>>& band_of_step,
                                   const Conversion& convert);

}  // namespace eaveshed
