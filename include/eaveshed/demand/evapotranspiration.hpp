// Reference evapotranspiration from temperature. Source of every equation: Allen, Pereira, Raes and Smith 1998, Crop
// evapotranspiration, FAO Irrigation and Drainage Paper 56 (FAO-56).
#pragma once

namespace eaveshed {

// The day that stands for a month 1..12: int(30.4 month - 15), found in whole numbers (FAO-56 annex 2, table 2.5).
// method.md 4.6.
[[nodiscard]] constexpr int middle_day_of_year(int month) {
    return (304 * month - 150) / 10;
}

// Radiation at the top of the atmosphere, MJ m-2 d-1 (FAO-56 eq. 21-25). `latitude_deg` -90..90, north positive;
// `day_of_year` 1..366. 0 in the polar night, the whole day's in the polar day.
// method.md 4.6.
[[nodiscard]] double extraterrestrial_radiation_mj(double latitude_deg, int day_of_year);

// Hours between sunrise and sunset, 0..24 (FAO-56 eq. 34).
[[nodiscard]] double daylight_hours(double latitude_deg, int day_of_year);

// Reference evapotranspiration, mm/day (Hargreaves, FAO-56 eq. 52), from mean daily minimum and maximum temperature and
// extraterrestrial radiation, MJ m-2 d-1. Never negative; a maximum below the minimum counts as no range.
// method.md 4.6.
[[nodiscard]] double hargreaves_mm_day(double minimum_celsius, double maximum_celsius, double radiation_mj);

}  // namespace eaveshed
