// Gridded climate: rain records of all three kinds, and twelve-band fields of evapotranspiration and temperature.
//
// One file with many bands, or many files; GeoTIFF, netCDF, Zarr, ASCII grid, or VRT that only places such files, on
// one regular grid. Dates: a time axis (days, hours, minutes or seconds since a date), or band descriptions YYYY-MM or
// YYYY-MM-DD, or the names of the files, else the settings. Where a netCDF file bounds its steps, a step belongs where
// its middle lies. Steps shorter than a day are summed to days.
#pragma once

#include <array>
#include <cstddef>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/step_field.hpp"
#include "eaveshed/crs/crs.hpp"
#include "eaveshed/settings/settings.hpp"
#include "eaveshed/source/climate_info.hpp"
#include "eaveshed/store/kept_field.hpp"
#include "eaveshed/store/series_file.hpp"

namespace eaveshed {

struct ClimateStack;
struct StepPlan;

// The basin's rain: depths in mm per step in the timeline's order, NaN missing.
struct RainData {
    RainInfo info;
    KeptField field;
};

// A rain record, looked at once: its cells are read from it as often as wanted.
class RainSource {
public:
    // Opens the files of [rain], finds unit, dates and calendar, and builds the timeline. Throws input errors (unit
    // missing or contradicted, dates missing, twelve bands wanted, no complete tank year, ...).
    static RainSource open(const RainSettings& settings, const Season& season, Findings& findings);

    [[nodiscard]] const RainInfo& info() const { return m_info; }
    // Reads all steps over the cells within four cells of `area` (in the rain grid's CRS, longitudes as PROJ gives
    // them). The grid that is handed back (of the info and of the field) holds the area: it is the file's, shifted by
    // 360 degrees or begun at another meridian where that is what makes it fit. Throws an input error where they do not
    // meet, where the rain is negative (beyond -0.05 mm; what is less counts as 0, with a note) and where its values go
    // on adding up (cumulative.hpp); an unreadable part, or a file that is no longer what it was, is a working error.
    // `room`: how much of it memory may hold, and the file that takes more.
    [[nodiscard]] RainData read(const Box& area, Findings& findings, const SeriesRoom& room = {}) const;

private:
    RainInfo m_info;
    std::shared_ptr<const ClimateStack> m_stack;
    std::shared_ptr<const StepPlan> m_plan;
};

// Twelve bands of evapotranspiration or temperature, looked at once.
class MonthSource {
public:
    // ET0 in mm per day; mm month-1 is divided by the days of the mean year's months.
    static MonthSource open_et0(const EvapotranspirationSettings& settings, Findings& findings);
    // Degrees C; a file in kelvin is converted. `setting` is "temperature.minimum" or "temperature.maximum".
    static MonthSource open_temperature(const std::string& setting, const std::vector<std::string>& paths,
                                        Findings& findings);

    // The cells within four cells of `area`, which is in `area_crs` and is brought to the raster's. Throws input errors
    // where they do not meet and for values that cannot be true.
    [[nodiscard]] MonthField read(const Crs& area_crs, const Box& area) const;
    // Warns of values that are hardly true.
    void look_at(const MonthField& field, Findings& findings) const;

private:
    // The value of a band's value in a step.
    using Convert = std::function<double(std::size_t step, double value, std::size_t band)>;
    MonthSource(std::shared_ptr<const ClimateStack> stack, Convert convert, double most, Findings& findings);

    std::shared_ptr<const ClimateStack> m_stack;
    Convert m_convert;
    double m_most;  // a larger value is hardly true
    std::array<std::size_t, 12> m_band_of_month;
};

}  // namespace eaveshed
