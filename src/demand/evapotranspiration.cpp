#include "eaveshed/demand/evapotranspiration.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace eaveshed {

namespace {

constexpr double kSolarConstant = 0.0820;  // MJ m-2 min-1
constexpr double kMjToMm = 0.408;          // mm of water evaporated by 1 MJ m-2 (FAO-56 eq. 20)
constexpr double kMinutesPerDay = 24.0 * 60.0;

double radians(double degrees) {
    return degrees * std::numbers::pi / 180.0;
}

// FAO-56 takes the year as 365 days, leap or not.
double year_angle(int day_of_year) {
    return 2.0 * std::numbers::pi / 365.0 * day_of_year;
}

// Eq. 24, rad.
double declination(int day_of_year) {
    return 0.409 * std::sin(year_angle(day_of_year) - 1.39);
}

// Eq. 25, rad. Beyond the polar circles the sun may not set or not rise: pi and 0.
double sunset_hour_angle(double latitude, double sun_declination) {
    return std::acos(std::clamp(-std::tan(latitude) * std::tan(sun_declination), -1.0, 1.0));
}

}  // namespace

double extraterrestrial_radiation_mj(double latitude_deg, int day_of_year) {
    const double latitude = radians(latitude_deg);
    const double inverse_distance = 1.0 + 0.033 * std::cos(year_angle(day_of_year));  // eq. 23
    const double sun = declination(day_of_year);
    const double sunset = sunset_hour_angle(latitude, sun);
    const double sky =
        sunset * std::sin(latitude) * std::sin(sun) + std::cos(latitude) * std::cos(sun) * std::sin(sunset);
    return std::max(0.0, kMinutesPerDay / std::numbers::pi * kSolarConstant * inverse_distance * sky);  // eq. 21
}

double daylight_hours(double latitude_deg, int day_of_year) {
    return 24.0 / std::numbers::pi * sunset_hour_angle(radians(latitude_deg), declination(day_of_year));
}

double hargreaves_mm_day(double minimum_celsius, double maximum_celsius, double radiation_mj) {
    const double mean = 0.5 * (minimum_celsius + maximum_celsius);
    const double range = std::max(0.0, maximum_celsius - minimum_celsius);
    return std::max(0.0, 0.0023 * (mean + 17.8) * std::sqrt(range) * kMjToMm * radiation_mj);
}

}  // namespace eaveshed
