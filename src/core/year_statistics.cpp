#include "eaveshed/core/year_statistics.hpp"

#include <algorithm>
#include <numeric>
#include <vector>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/quantile.hpp"

namespace eaveshed {

YearStatistics year_statistics(std::span<const double> year_sums, double reliability) {
    if (year_sums.empty()) {
        internal_error("statistics over no years");
    }
    std::vector<double> ascending(year_sums.begin(), year_sums.end());
    std::sort(ascending.begin(), ascending.end());
    // The mean too is taken over the sorted years, so that their order cannot change its last bit.
    const double sum = std::accumulate(ascending.begin(), ascending.end(), 0.0);
    return {.mean = sum / static_cast<double>(ascending.size()),
            .median = weibull_quantile(ascending, 0.5),
            .dependable = weibull_quantile(ascending, 1.0 - reliability),
            .worst = ascending.front()};
}

}  // namespace eaveshed
