// The 0/1 knapsack in whole numbers, exactly.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace eaveshed {

// Both > 0; the sums over all items < 2^62.
struct KnapsackItem {
    std::int64_t weight = 0;
    std::int64_t profit = 0;
};

// More profit a unit of weight, compared without rounding.
[[nodiscard]] bool is_richer(const KnapsackItem& a, const KnapsackItem& b);

// Both are counts, so that a search that is cut short ends at the same place on every machine.
struct KnapsackLimits {
    std::uint64_t visits = 0;  // partial choices looked at: work
    std::size_t trail = 0;     // partial choices remembered: memory, 8 bytes each
};

struct KnapsackResult {
    std::vector<bool> taken;  // by item
    std::int64_t weight = 0;
    std::int64_t profit = 0;
    std::int64_t profit_bound = 0;  // no choice has more; equal to `profit` when the choice is proven the best
};

// The choice of most profit among those of weight <= capacity, and of least weight among those of that profit. Where
// several share both, which one is a function of the items in their order. capacity >= 0.
[[nodiscard]] KnapsackResult solve_knapsack(std::span<const KnapsackItem> items, std::int64_t capacity,
                                            const KnapsackLimits& limits);

}  // namespace eaveshed
