#include "eaveshed/lanes/lane_statistics.hpp"

#include <algorithm>
#include <bit>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/quantile.hpp"

namespace eaveshed {

namespace {

// Batcher's merge exchange (Knuth 1998, The Art of Computer Programming 3, algorithm 5.2.2 M): the same exchanges
// whatever the values, so that all lanes go together, and those of one pass do not wait for each other.
template <typename Wide>
[[gnu::always_inline]] inline void sort_lanes(Lanes* values, std::size_t count) {
    const std::size_t half = std::bit_ceil(count) / 2;
    for (std::size_t run = half; run > 0; run /= 2) {
        std::size_t distance = run;
        std::size_t offset = 0;
        for (std::size_t merged = half;; merged /= 2) {
            for (std::size_t first = offset; first + distance < count; first += 2 * run) {
                const std::size_t end = std::min(first + run, count - distance);
                for (std::size_t i = first; i < end; ++i) {
                    const Wide x = Wide::of(values[i]);
                    const Wide y = Wide::of(values[i + distance]);
                    least(x, y).to(values[i]);
                    most(x, y).to(values[i + distance]);
                }
            }
            if (merged == run) {
                break;
            }
            distance = merged - run;
            offset = run;
        }
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

LaneStatistics lane_statistics(std::span<Lanes> year_sums, double reliability, Vectors vectors) {
    if (year_sums.empty()) {
        internal_error("statistics over no years");
    }
    LaneStatistics statistics;
    with_vectors(
        vectors, [&]<typename Wide>() __attribute__((always_inline)) {
            sort_lanes<Wide>(year_sums.data(), year_sums.size());
            Wide sum = Wide::all(0.0);
            for (const Lanes& year : year_sums) {
                sum += Wide::of(year);
            }
            (sum / Wide::all(static_cast<double>(year_sums.size()))).to(statistics.mean);
        });
    statistics.median = lane_quantile(year_sums, 0.5);
    statistics.dependable = lane_quantile(year_sums, 1.0 - reliability);
    statistics.worst = year_sums.front();
    return statistics;
}

}  // namespace eaveshed
