// A good choice of a knapsack's options, found quickly: what the exact search has to beat.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "knapsack.hpp"

namespace eaveshed {

// One level a group, with their sums.
struct Choice {
    std::vector<std::uint32_t> level;
    std::int64_t weight = 0;
    std::int64_t profit = 0;
};

// From `filled`, a choice within the capacity, by moving one group to another level, or one down and another up, as
// long as that earns more; the greatest gain first, a fixed number of times at most.
[[nodiscard]] Choice first_choice(std::span<const KnapsackGroup> groups, std::int64_t capacity, Choice filled);

}  // namespace eaveshed
