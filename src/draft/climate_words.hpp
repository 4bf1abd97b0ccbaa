// Words by which files, layers and bands of climate call themselves, lower case: common practice. Private to the
// module.
#pragma once

#include <array>
#include <string_view>

namespace eaveshed {

inline constexpr std::array<std::string_view, 17> kRainWords{
    "rain", "rainfall", "precip", "precipitation", "prec",   "prcp",     "pcp",          "pcpn",         "ppt",
    "pr",   "rr",       "tp",     "pluie",         "lluvia", "neerslag", "niederschlag", "precipitacion"};
inline constexpr std::array<std::string_view, 6> kEt0Words{"et0", "eto", "pet", "evapotranspiration", "evap", "refet"};
inline constexpr std::array<std::string_view, 5> kColdWords{"tmin", "tasmin", "tmn", "minimum", "mint"};
inline constexpr std::array<std::string_view, 5> kWarmWords{"tmax", "tasmax", "tmx", "maximum", "maxt"};
inline constexpr std::array<std::string_view, 6> kMeanWords{"tmean", "tas", "tavg", "temperature", "temp", "tmp"};

}  // namespace eaveshed
