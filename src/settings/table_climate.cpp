// [rain], [evapotranspiration], [temperature]: the climate, as grids or as tables of gauges.
#include "table_parts.hpp"

namespace eaveshed::table_parts {

namespace {

constexpr std::array kRainKinds{
    Term{"monthly-normals", "twelve values of one mean year: nothing is known of dry winters"},
    Term{"monthly", "a series of months"},
    Term{"daily", "a series of days"},
};
constexpr std::array kRainUnits{
    Term{"from the file", "as the file says"},      Term{"mm", "depth in a step, millimetres"},
    Term{"cm", "depth in a step, centimetres"},     Term{"m", "depth in a step, metres"},
    Term{"in", "depth in a step, inches"},          Term{"mm day-1", "rate, millimetres in a day"},
    Term{"m day-1", "rate, metres in a day"},       Term{"kg m-2 s-1", "rate, kilograms on a square metre in a second"},
    Term{"m s-1", "rate, metres in a second"},      Term{"0.1 mm", "depth in a step, tenths of a millimetre"},
    Term{"mm h-1", "rate, millimetres in an hour"},
};
constexpr std::array kEvapotranspirationUnits{
    Term{"from the file", "as the file says"},
    Term{"mm day-1", "millimetres in a day"},
    Term{"mm month-1", "millimetres in a month"},
};

constexpr std::array kDateOrders{
    Term{"from the data", "as a number over 12 in some date shows"},
    Term{"day-month", "the day first: 14/3/1990"},
    Term{"month-day", "the month first: 3/14/1990"},
};
constexpr std::array kTemperatureUnits{
    Term{"from the file", "as the columns' names say"},
    Term{"C", "degrees Celsius"},
    Term{"F", "degrees Fahrenheit"},
    Term{"K", "kelvin"},
};

constexpr auto kRain = &Settings::rain;
constexpr auto kEt0 = &Settings::evapotranspiration;
constexpr auto kTemperature = &Settings::temperature;

void append_gauges(std::vector<Setting>& table) {
    table.insert(
        table.end(),
        {
            {.section = "rain",
             .key = "stations",
             .kind = Kind::path,
             .access = at<kRain, &RainSettings::stations>(),
             .meaning = "Where the gauges stand: a table (CSV) with id, x and y in the footprints' CRS, or id, lon and "
                        "lat.",
             .role = InputRole{.kind = InputKind::gauge_places,
                               .crs = CrsDuty::as_footprints,
                               .without = "a table of one gauge counts everywhere, and one of several is an error"}},
            {.section = "rain",
             .key = "columns",
             .kind = Kind::fields,
             .access = at<kRain, &RainSettings::columns>(),
             .absent = "found by their names",
             .meaning = "Columns of a table of gauges that hold the rain."},
            {.section = "rain",
             .key = "date_order",
             .kind = Kind::choice,
             .access = choice_at<kRain, &RainSettings::date_order>(kDateOrders, 1),
             .meaning = "Which of day and month comes first in the dates of a table of gauges, where no number over 12 "
                        "shows it."},
            {.section = "rain",
             .key = "normals",
             .kind = Kind::paths,
             .access = at<kRain, &RainSettings::normals>(),
             .meaning = "Mean rain of a year as a grid, one band or twelve that are added up: a gauge's rain is taken "
                        "times the normal at the roof over that at the gauge.",
             .source = "paper: the normal-ratio method, Paulhus and Kohler 1952",
             .role = InputRole{.kind = InputKind::normals,
                               .label = "rain normals",
                               .overlap = Overlap::as_read,
                               .without = "a gauge's rain is taken as it is"}},
            {.section = "rain",
             .key = "nearest_stations",
             .kind = Kind::whole_number,
             .range = at_least(1.0),
             .access = at<kRain, &RainSettings::nearest_stations>(),
             .meaning = "How many of the gauges nearest to a roof it may draw on: of days the nearest with a value, of "
                        "months their mean, weighted by 1 / distance squared. Also of temperatures.",
             .source = kPractice},
        });
}

void append_rain(std::vector<Setting>& table) {
    table.insert(
        table.end(),
        {
            {.section = "rain",
             .key = "source",
             .kind = Kind::paths,
             .access = at<kRain, &RainSettings::source>(),
             .required = true,
             .meaning =
                 "Rain grid: one file with a band for each step, or many files in the order of time or with the date "
                 "in their names. Or a table of gauges (CSV): a date and a column for each station, or a date, a "
                 "station and a value in each line.",
             .role = InputRole{.kind = InputKind::rain, .label = "rain", .overlap = Overlap::all}},
            {.section = "rain",
             .key = "kind",
             .kind = Kind::choice,
             .access = choice_at<kRain, &RainSettings::kind>(kRainKinds),
             .meaning = "What the steps are; only a series of years tells of dry winters."},
            {.section = "rain",
             .key = "unit",
             .kind = Kind::choice,
             .access = choice_at<kRain, &RainSettings::unit>(kRainUnits, 1),
             .meaning = "Unit of the rain values; an error where the file says otherwise."},
            {.section = "rain",
             .key = "start",
             .kind = Kind::date,
             .access = at<kRain, &RainSettings::start>(),
             .absent = "from the file",
             .meaning = R"(Date of a series' first step, where the file does not say: "1991-10-01" or "1991-10".)"},
            {.section = "rain",
             .key = "calendar",
             .kind = Kind::calendar,
             .access = at<kRain, &RainSettings::calendar>(),
             .absent = "from the file, else standard",
             .meaning = "Calendar of a series; climate models leave out leap days or count 360 days to a year.",
             .source = "standard: CF conventions 4.4.1"},
            {.section = "rain",
             .key = "variable",
             .kind = Kind::text,
             .access = at<kRain, &RainSettings::variable>(),
             .absent = "the only one, or the one whose standard name is rain's",
             .meaning = R"(Variable of a netCDF file or Zarr store that holds several: "pr".)"},
            {.section = "rain",
             .key = "select",
             .kind = Kind::text,
             .access = at<kRain, &RainSettings::select>(),
             .absent = "no such dimension",
             .meaning = "Place on the other dimensions of a netCDF file or Zarr store, by coordinate, else by position "
                        R"(from 1: "member=3", "member=3, height=2".)"},
            {.section = "rain",
             .key = "dry_winter_factor",
             .range = above(0.0, 1.0),
             .access = at<kRain, &RainSettings::dry_winter_factor>(),
             .meaning = "Rain of a dry winter as a share of the mean year's, assumed for dependable values; only for "
                        "monthly-normals."},
        });
    append_gauges(table);
}

void append_demand_climate(std::vector<Setting>& table) {
    table.insert(
        table.end(),
        {
            {.section = "evapotranspiration",
             .key = "source",
             .kind = Kind::paths,
             .access = at<kEt0, &EvapotranspirationSettings::source>(),
             .absent = "from temperature, else demand.et0_mm_day",
             .meaning = "Reference evapotranspiration (ET0): twelve bands or twelve files, January first.",
             .role = InputRole{.kind = InputKind::et0,
                               .label = "evapotranspiration",
                               .overlap = Overlap::as_read,
                               .only_with = {.setting = "footprints.source"},
                               .without = "ET0 is computed from temperatures, or is demand.et0_mm_day"}},
            {.section = "evapotranspiration",
             .key = "unit",
             .kind = Kind::choice,
             .access = choice_at<kEt0, &EvapotranspirationSettings::unit>(kEvapotranspirationUnits, 1),
             .meaning = "Unit of these values; an error where the file says otherwise."},
            {.section = "temperature",
             .key = "minimum",
             .kind = Kind::paths,
             .access = at<kTemperature, &TemperatureSettings::minimum>(),
             .meaning = "Monthly mean of daily minimum temperature, degrees C: twelve bands, January first; gives ET0 "
                        "together with maximum, and the months that freeze. Or a table of gauges (CSV) with the daily "
                        "minima, which may be the same as that of the maxima.",
             .role = InputRole{.kind = InputKind::temperature,
                               .label = "temperature",
                               .overlap = Overlap::as_read,
                               .only_with = {.setting = "footprints.source"},
                               .without = "ET0 is that of the raster, or demand.et0_mm_day"}},
            {.section = "temperature",
             .key = "maximum",
             .kind = Kind::paths,
             .access = at<kTemperature, &TemperatureSettings::maximum>(),
             .meaning = "Monthly mean of daily maximum temperature, degrees C: twelve bands, January first; or a table "
                        "of gauges.",
             .source = "paper: the Hargreaves equation, FAO-56 eq. 52",
             .role = InputRole{.kind = InputKind::temperature,
                               .overlap = Overlap::as_read,
                               .only_with = {.setting = "temperature.minimum"},
                               .without = "as for temperature.minimum: one is given with the other"}},
            {.section = "temperature",
             .key = "stations",
             .kind = Kind::path,
             .access = at<kTemperature, &TemperatureSettings::stations>(),
             .meaning = "Where the gauges of temperature stand: a table as rain.stations.",
             .role = InputRole{.kind = InputKind::gauge_places,
                               .crs = CrsDuty::as_footprints,
                               .without = "a table of one gauge counts everywhere, and one of several is an error"}},
            {.section = "temperature",
             .key = "minimum_column",
             .kind = Kind::text,
             .access = at<kTemperature, &TemperatureSettings::minimum_column>(),
             .absent = "found by its name",
             .meaning = "Column of a table of gauges that holds the daily minima."},
            {.section = "temperature",
             .key = "maximum_column",
             .kind = Kind::text,
             .access = at<kTemperature, &TemperatureSettings::maximum_column>(),
             .absent = "found by its name",
             .meaning = "Column of a table of gauges that holds the daily maxima."},
            {.section = "temperature",
             .key = "unit",
             .kind = Kind::choice,
             .access = choice_at<kTemperature, &TemperatureSettings::unit>(kTemperatureUnits, 1),
             .meaning = "Unit of a table of gauges; an error where its columns' names say otherwise."},
            {.section = "temperature",
             .key = "date_order",
             .kind = Kind::choice,
             .access = choice_at<kTemperature, &TemperatureSettings::date_order>(kDateOrders, 1),
             .meaning = "As rain.date_order."},
        });
}

}  // namespace

void append_climate_settings(std::vector<Setting>& table) {
    append_rain(table);
    append_demand_climate(table);
}

}  // namespace eaveshed::table_parts
