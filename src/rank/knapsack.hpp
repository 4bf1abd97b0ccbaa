// The multiple-choice knapsack in whole numbers, exactly: of every group at most one option, as much profit as the
// capacity holds.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace eaveshed {

struct KnapsackItem {
    std::int64_t weight = 0;
    std::int64_t profit = 0;
};

// More profit a unit of weight, compared without rounding. Weights >= 0, not both 0.
[[nodiscard]] bool is_richer(const KnapsackItem& a, const KnapsackItem& b);

// The options of a group above none of them, which weighs and earns nothing: by strictly rising weight and profit, both
// above 0. Level 0 is none, level n the n-th option. The sums of the greatest of all groups stay below 2^62.
using KnapsackGroup = std::vector<KnapsackItem>;

[[nodiscard]] inline KnapsackItem item_at(const KnapsackGroup& group, std::uint32_t level) {
    return level == 0 ? KnapsackItem{} : group[level - 1];
}

// From one level of a group to a higher one.
struct Upgrade {
    std::uint32_t group = 0;
    std::uint32_t to = 0;
    KnapsackItem step;  // what it adds
};

// The upgrades along the upper convex hull of every group, by falling riches: those of one group in the order of its
// levels. Equally rich ones by weight, then by group. Filling up in this order is the best that can be done where the
// last upgrade may be taken in part (Sinha and Zoltners 1979).
// Levels that weigh more than `capacity` are left out.
[[nodiscard]] std::vector<Upgrade> upgrades_of(std::span<const KnapsackGroup> groups, std::int64_t capacity);

// Both are counts, so that a search that is cut short ends at the same place on every machine.
struct KnapsackLimits {
    std::uint64_t visits = 0;  // partial choices looked at: work
    std::size_t trail = 0;     // partial choices remembered: memory, 12 bytes each
};

struct KnapsackResult {
    std::vector<std::uint32_t> level;  // by group
    std::int64_t weight = 0;
    std::int64_t profit = 0;
    std::int64_t profit_bound = 0;  // no choice has more; equal to `profit` when the choice is proven the best
};

// The choice of most profit among those of weight <= capacity, and of least weight among those of that profit. Where
// several share both, which one is a function of the groups in their order. capacity >= 0.
[[nodiscard]] KnapsackResult solve_knapsack(std::span<const KnapsackGroup> groups, std::int64_t capacity,
                                            const KnapsackLimits& limits);

}  // namespace eaveshed
