// Values that many tests need.
#pragma once

#include <array>
#include <limits>
#include <numeric>
#include <span>

#include "eaveshed/core/season.hpp"

namespace eaveshed::testing {

inline constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

inline double sum(std::span<const double> values) {
    return std::accumulate(values.begin(), values.end(), 0.0);
}

// The months of the default settings: filled from November to May, drawn upon and spared from August to October.
inline Season autumn() {
    constexpr std::array<int, 3> kForbear{8, 9, 10};
    constexpr std::array<int, 7> kFill{11, 12, 1, 2, 3, 4, 5};
    return {.fill = MonthSet(kFill), .forbear = MonthSet(kForbear), .draw = MonthSet(kForbear), .first_month = 11};
}

}  // namespace eaveshed::testing
