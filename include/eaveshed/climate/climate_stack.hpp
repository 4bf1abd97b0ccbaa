// The bands of gridded climate, from one file or many, as one list: where they lie, what they say of their dates and
// units, and how to read them. What rain, evapotranspiration and temperature share.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <limits>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "eaveshed/arrays/grid_array.hpp"
#include "eaveshed/arrays/time_axis.hpp"
#include "eaveshed/core/calendar.hpp"
#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/season.hpp"
#include "eaveshed/core/step_field.hpp"
#include "eaveshed/core/timeline.hpp"
#include "eaveshed/raster/band_rule.hpp"
#include "eaveshed/raster/raster_dataset.hpp"
#include "eaveshed/store/kept_field.hpp"
#include "eaveshed/store/series_file.hpp"

class GDALDataset;

namespace eaveshed {

// The formats of gridded climate.
[[nodiscard]] const std::vector<std::string>& climate_drivers();

// What the opener has to know of the quantity.
struct StackWish {
    std::string setting;                      // e.g. "rain.source"
    std::vector<std::string> standard_names;  // CF names that pick one variable of several
    std::string calendar;                     // from the settings; empty: from the file
    std::string section{};                    // "rain": where its settings `variable` and `select` are; empty: none
    std::string variable{};
    std::string select{};
};

struct StackFile {
    std::string path;
    std::optional<ArrayPlace> array;  // of a netCDF file or Zarr store, whose steps are its bands
    std::string words;                // of it: what the variable calls itself
    RasterLayout layout;
    bool pixel_interleaved = false;
    std::vector<BandRule> rules;  // by band
    // Stored numbers beyond these are missing.
    double least = -std::numeric_limits<double>::infinity();
    double most = std::numeric_limits<double>::infinity();
};

struct StackBand {
    std::size_t file = 0;
    int band = 1;  // in the file, from 1
    std::optional<Date> date;
    std::optional<double> moment;  // days from 0000-01-01, where the time axis says more than the date
    std::optional<int> month;      // by a name such as "Jan", where there is no date
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
    bool bounded = true;          // all files say from when to when each step lasts
    std::string undated_because;  // when a file has a time axis that cannot be understood
    // The first file, where it is a raster: one of many bands takes longer to open than to read. It is for one thread
    // at a time, and so is read_stack of one stack.
    std::shared_ptr<GDALDataset> opened = {};
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

// Which bands make up which step: all of a step together, in the order of time. A step without a band is missing.
struct BandOfStep {
    std::size_t band = 0;
    std::size_t step = 0;
};
struct StepPlan {
    std::size_t steps = 0;
    int per_step = 1;  // bands whose values are summed to a step: 8 where a day has steps of three hours
    std::vector<BandOfStep> bands;
};

// The bands of a series in the order of time.
struct StackSeries {
    Date first;
    StepPlan plan;
};
// `start`: from the settings, or empty. Throws input errors: no dates, dates that contradict `start`, two bands for one
// step, mostly holes. A hole is a warning, which names those of the fill months; an order other than that of time and
// steps shorter than a day are a note.
[[nodiscard]] StackSeries bands_by_date(const ClimateStack& stack, RainKind kind, const std::string& start,
                                        const MonthSet& fill_months, Findings& findings);

// Dates for the bands of several files that say none themselves, from the files' names (name_dates.hpp). Throws an
// input error where a name can be read in two ways and `start` is empty.
void date_by_names(ClimateStack& stack, RainKind kind, const std::string& start, Findings& findings);

// Makes a value of the quantity from a band's value (scale and offset applied): step, value, band.
using Conversion = std::function<double(std::size_t step, double value, std::size_t band)>;

// What a record whose values go on adding up looks like within its days: see cumulative.hpp.
class DayTrend;

// Whether there are cells within four cells of `area` (in the grid's CRS).
[[nodiscard]] bool stack_reaches(const ClimateStack& stack, const Box& area);

// The cells within four cells of `area` (in the grid's CRS), all steps. Longitudes are matched to the area's: the
// field's grid is the stack's, shifted by 360 degrees, or turned about the axis for a grid round the Earth, where that
// is what makes it hold the area. An empty area gives no cells. Throws an input error when they do not meet, a working
// error for what cannot be read.
[[nodiscard]] KeptField read_stack(const ClimateStack& stack, const Box& area, const StepPlan& plan,
                                   const Conversion& convert, const SeriesRoom& room, DayTrend* trend = nullptr);
// The same into memory, which has room for it or this is an input error.
[[nodiscard]] StepField read_stack(const ClimateStack& stack, const Box& area, const StepPlan& plan,
                                   const Conversion& convert);

}  // namespace eaveshed
