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

namespace {

// By insertion, the lesser of each two staying behind: the same steps whatever the values, so that all lanes go
// together. For the few years of a record that is faster than any sort of one list after another.
void sort_lanes(std::span<Lanes> values) {
    for (std::size_t end = 1; end < values.size(); ++end) {
        Wide moved = Wide::of(values[end]);
        for (std::size_t i = 0; i < end; ++i) {
            const Wide here = Wide::of(values[i]);
            least(here, moved).to(values[i]);
            moved = most(here, moved);
        }
        moved.to(values[end]);
    }
}

Lanes lane_quantile(std::span<const Lanes> ascending, double p) {
    const WeibullRank rank = weibull_rank(ascending.size(), p);
    Lanes quantile;
    for (std::size_t k = 0; k < kLanes; ++k) {
        quantile[k] = rank.between(ascending[rank.below][k], ascending[rank.above][k]);
    }
    return quantile;
}

}  // namespace

LaneStatistics lane_statistics(std::span<Lanes> year_sums, double reliability) {
    if (year_sums.empty()) {
        internal_error("statistics over no years");
    }
    sort_lanes(year_sums);
    Wide sum = Wide::all(0.0);
    for (const Lanes& year : year_sums) {
        sum += Wide::of(year);
    }
    return {.mean = (sum / Wide::all(static_cast<double>(year_sums.size()))).lanes(),
            .median = lane_quantile(year_sums, 0.5),
            .dependable = lane_quantile(year_sums, 1.0 - reliability),
            .worst = year_sums.front()};
}

}  // namespace eaveshed
