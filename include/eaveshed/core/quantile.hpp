// Quantiles and ranks.
#pragma once

#include <cstddef>
#include <span>

namespace eaveshed {

// The Weibull plotting position (Hyndman and Fan 1996, Sample quantiles in statistical packages, type 6): rank
// p (n + 1) among the n ascending values, linear between neighbours, clamped to the ends.
// `ascending` is sorted and not empty; 0 <= p <= 1.
// method.md 0.7.
[[nodiscard]] double weibull_quantile(std::span<const double> ascending, double p);

// Where that quantile lies among `count` ascending values, not none: between these two positions.
struct WeibullRank {
    std::size_t below = 0;
    std::size_t above = 0;  // the same at the end
    double share = 0.0;     // of the way from the one to the other

    [[nodiscard]] double between(double low, double high) const { return low + share * (high - low); }
};
[[nodiscard]] WeibullRank weibull_rank(std::size_t count, double p);

// Zero-based position of the nearest rank: element ceil(share n) of n sorted values, counted from 1, found in whole
// numbers so that 10 % of 10 values is the first and not the second. The share is taken in millionths. At least the
// first, at most the last. n > 0.
// method.md 0.8.
[[nodiscard]] std::size_t nearest_rank(double share, std::size_t n);

// Middle value; mean of the middle two for an even number. `ascending` is sorted and not empty.
// method.md 0.9.
[[nodiscard]] double median(std::span<const double> ascending);

}  // namespace eaveshed
