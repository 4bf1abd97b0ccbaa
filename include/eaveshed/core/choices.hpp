// Choices that the settings offer and the computation follows: each list stands once.
#pragma once

#include <cstdint>

#include "eaveshed/core/closed_list.hpp"

namespace eaveshed {

// Where the summer water of a parcel comes from. Data and settings write the words exactly so.
enum class WaterSource : std::uint8_t { creek, spring, shallow_well, deep_well, mains, unknown };
template <>
inline constexpr TermList<6> kTermList<WaterSource>{
    "water_source",
    "where the summer water of a parcel comes from, and what share of it the creek feels",
    {{
        {"creek", "share 1: the creek feels the whole take"},
        {"spring", "share 1"},
        {"shallow_well", "a share by distance and aquifer where these are known, else demand.shallow_well_share"},
        {"deep_well", "share 0 within the season"},
        {"mains", "share 0"},
        {"unknown", "share 0, flag unknown_source"},
    }}};

// Order of drawing and overflowing within a step of the store.
enum class StoreRule : std::uint8_t { after_spillage, before_spillage };

// The ground along a roof's edge that heights of its gutter are added to.
enum class EaveFrom : std::uint8_t { mid, low, high };

// What a number of a rain record stands for: a depth of the step, or a rate. `from_file`: as the file says.
enum class RainUnit : std::uint8_t {
    from_file,
    mm,
    cm,
    m,
    inch,
    mm_per_day,
    m_per_day,
    kg_per_m2_s,
    m_per_s,
    tenth_mm,
    mm_per_hour,
};

// The same of reference evapotranspiration.
enum class EvapotranspirationUnit : std::uint8_t { from_file, mm_per_day, mm_per_month };

}  // namespace eaveshed
