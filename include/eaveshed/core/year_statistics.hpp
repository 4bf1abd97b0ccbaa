// Statistics over tank years.
#pragma once

#include <span>

namespace eaveshed {

struct YearStatistics {
    double mean = 0.0;
    double median = 0.0;
    double dependable = 0.0;  // reached or exceeded in the share `reliability` of the years
    double worst = 0.0;       // the least
};

// `year_sums` holds one total per counted year, in any order (the result is the same to the last bit), and is not
// empty: nothing to count is a broken invariant. 0 <= reliability <= 1. Quantiles use the Weibull plotting position
// (quantile.hpp): median at p = 0.5, dependable at p = 1 - reliability.
// method.md 0.10.
[[nodiscard]] YearStatistics year_statistics(std::span<const double> year_sums, double reliability);

}  // namespace eaveshed
