// Gridded climate: rain records of all three kinds, and twelve-band fields of evapotranspiration and temperature.
//
// One file with many bands, or many files in order; GeoTIFF, netCDF, ASCII grid, or VRT that only places such files, on
// one regular grid. Dates: a time axis (days, hours, minutes or seconds since a date), or band descriptions YYYY-MM or
// YYYY-MM-DD, else the settings. Where a netCDF file bounds its steps, a step belongs where its middle lies.
#pragma once

#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/step_field.hpp"
#include "eaveshed/core/timeline.hpp"
#include "eaveshed/crs/crs.hpp"
#include "eaveshed/settings/settings.hpp"
#include "eaveshed/store/kept_field.hpp"
#include "eaveshed/store/series_file.hpp"

namespace eaveshed {

// A rain record as it was understood, before any cell is read.
struct RainInfo {
    std::string where;
    std::vector<std::string> files;
    Grid grid;
    Crs crs;
    Timeline timeline;
    RainUnit unit = RainUnit::mm;  // as stated by the file or the settings
};

// The basin's rain: depths in mm per step in the timeline's order, NaN missing.
struct RainData {
    RainInfo info;
    KeptField field;
};

// Opens the files of [rain], finds unit, dates and calendar, and builds the timeline. Throws input errors (unit missing
// or contradicted, dates missing, twelve bands wanted, no complete tank year, ...).
[[nodiscard]] RainInfo open_rain(const RainSettings& settings, const Season& season, Findings& findings);

// Reads all steps over the cells within four cells of `area` (in the rain grid's CRS, longitudes as PROJ gives them).
// The grid that is handed back (of the info and of the field) holds the area: it is the file's, shifted by 360 degrees
// or begun at another meridian where that is what makes it fit. Throws an input error where they do not meet or where
// the rain is negative (beyond -0.05 mm; what is less counts as 0, with a note); an unreadable part is a working error.
// Findings of open_rain are not repeated. `room`: how much of it memory may hold, and the file that takes more.
[[nodiscard]] RainData read_rain(const RainSettings& settings, const RainInfo& info, const Box& area,
                                 Findings& findings, const SeriesRoom& room = {});

// Twelve-band fields, January first.
struct MonthField {
    std::string where;
    std::vector<std::string> files;
    Crs crs;
    StepField field;  // 12 steps
};

// ET0 in mm per day; mm month-1 is divided by the days of the mean year's months. `area` is in `area_crs`; it is
// transformed to the CRS that the raster turns out to have.
[[nodiscard]] MonthField read_et0(const EvapotranspirationSettings& settings, const Crs& area_crs, const Box& area,
                                  Findings& findings);
// Degrees C; a file in kelvin is converted. `setting` is "temperature.minimum" or "temperature.maximum".
[[nodiscard]] MonthField read_temperature(const std::string& setting, const std::vector<std::string>& paths,
                                          const Crs& area_crs, const Box& area, Findings& findings);

}  // namespace eaveshed
