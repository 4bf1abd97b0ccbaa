#include "eaveshed/core/quantile.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

WeibullRank weibull_rank(std::size_t count, double p) {
    if (count == 0) {
        internal_error("a quantile of nothing");
    }
    const auto n = static_cast<double>(count);
    const double rank = std::clamp(p * (n + 1.0), 1.0, n);
    const double below = std::floor(rank);
    const auto i = static_cast<std::size_t>(below) - 1;
    return {i, std::min(i + 1, count - 1), rank - below};
}

double weibull_quantile(std::span<const double> ascending, double p) {
    const WeibullRank rank = weibull_rank(ascending.size(), p);
    return rank.between(ascending[rank.below], ascending[rank.above]);
}

std::size_t nearest_rank(double share, std::size_t n) {
    constexpr std::uint64_t kParts = 1'000'000;
    const auto parts = static_cast<std::uint64_t>(std::llround(share * static_cast<double>(kParts)));
    const std::uint64_t rank = (parts * n + kParts - 1) / kParts;
    return static_cast<std::size_t>(std::clamp<std::uint64_t>(rank, 1, n)) - 1;
}

double median(std::span<const double> ascending) {
    if (ascending.empty()) {
        internal_error("a median of nothing");
    }
    const std::size_t half = ascending.size() / 2;
    return ascending.size() % 2 == 1 ? ascending[half] : 0.5 * (ascending[half - 1] + ascending[half]);
}

}  // namespace eaveshed
