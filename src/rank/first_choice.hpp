// A good choice of a knapsack's items, found quickly: what the exact search has to beat.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "knapsack.hpp"

namespace eaveshed {

struct FirstChoice {
    std::vector<bool> taken;
    std::int64_t weight = 0;
    std::int64_t profit = 0;
};

// Takes what fits in the order given, then adds one item or swaps one for another as long as that earns more, the
// greatest gain first, a fixed number of times at most. capacity >= 0.
[[nodiscard]] FirstChoice first_choice(std::span<const KnapsackItem> items, std::int64_t capacity);

}  // namespace eaveshed
