// Constants that are no settings.
#pragma once

#include <limits>

namespace eaveshed {

inline constexpr double kInfinity = std::numeric_limits<double>::infinity();

// Pressure of one metre of water at 1000 kg/m3 under standard gravity (3rd CGPM 1901: 9.80665 m/s2 exactly), kPa.
inline constexpr double kKpaPerMetre = 9.80665;

inline constexpr double kPercent = 100.0;
inline constexpr double kSecondsPerDay = 86400.0;
inline constexpr double kLitresPerM3 = 1000.0;
inline constexpr double kMmPerMetre = 1000.0;

// International foot, 1959: exact. US survey foot: 1200/3937 m, exact (retired for new work by NIST in 2022).
inline constexpr double kMetresPerFoot = 0.3048;
inline constexpr double kMetresPerUsSurveyFoot = 1200.0 / 3937.0;

}  // namespace eaveshed
