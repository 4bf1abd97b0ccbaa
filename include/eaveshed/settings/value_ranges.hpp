// What the numbers of data can be: a value beyond counts as not known and is told. Wide, so that no roof or parcel of
// this world falls out: they catch slips of the pen, of the unit and of the field, not unusual houses.
#pragma once

#include "eaveshed/settings/table.hpp"

namespace eaveshed::value_ranges {

inline constexpr Range kShare{0.0, 1.0};
// The tallest building stands 828 m high and has 163 storeys (from memory).
inline constexpr Range kEaveHeightM{0.0, 1000.0};
inline constexpr Range kStoreys{0.0, 200.0};
inline constexpr Range kPeople{0.0, 1.0e5};
inline constexpr Range kIrrigatedAreaM2{0.0, 1.0e8};
inline constexpr Range kSeasonUseM3{0.0, 1.0e7};
inline constexpr Range kStreamDistanceM{0.0, 1.0e6};
inline constexpr Range kStorageM3{0.0, 1.0e6};
inline constexpr Range kPumpLps{0.0, 1.0e4};
// The Amazon carries 209,000 m3/s (from memory).
inline constexpr Range kLowFlowLps{0.0, 2.5e8};

}  // namespace eaveshed::value_ranges
