// [rain], [evapotranspiration], [temperature]: the gridded climate.
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

constexpr auto kRain = &Settings::rain;
constexpr auto kEt0 = &Settings::evapotranspiration;
constexpr auto kTemperature = &Settings::temperature;

void append_rain(std::vector<Setting>& table) {
    table.insert(
        table.end(),
        {
            {.section = "rain",
             .key = "source",
             .kind = Kind::paths,
             .access = at<kRain, &RainSettings::source>(),
             .required = true,
             .meaning = "Rain grid: one file with a band for each step, or many files in the order of time or with the "
                        "date in "
                        "their names.",
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
                        "together with maximum, and the months that freeze.",
             .role = InputRole{.kind = InputKind::temperature,
                               .label = "temperature",
                               .overlap = Overlap::as_read,
                               .only_with = {.setting = "footprints.source"},
                               .without = "ET0 is that of the raster, or demand.et0_mm_day"}},
            {.section = "temperature",
             .key = "maximum",
             .kind = Kind::paths,
             .access = at<kTemperature, &TemperatureSettings::maximum>(),
             .meaning = "Monthly mean of daily maximum temperature, degrees C: twelve bands, January first.",
             .source = "paper: the Hargreaves equation, FAO-56 eq. 52",
             .role = InputRole{.kind = InputKind::temperature,
                               .overlap = Overlap::as_read,
                               .only_with = {.setting = "temperature.minimum"},
                               .without = "as for temperature.minimum: one is given with the other"}},
        });
}

}  // namespace

void append_climate_settings(std::vector<Setting>& table) {
    append_rain(table);
    append_demand_climate(table);
}

}  // namespace eaveshed::table_parts
