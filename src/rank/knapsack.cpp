#include "knapsack.hpp"

#include <algorithm>

#include "core_search.hpp"
#include "first_choice.hpp"
#include "wide.hpp"

namespace eaveshed {

namespace {

// Positions of the items that fit at all, by falling riches; equals by weight, then as given.
std::vector<std::size_t> richest_first(std::span<const KnapsackItem> items, std::int64_t capacity) {
    std::vector<std::size_t> order;
    for (std::size_t i = 0; i < items.size(); ++i) {
        if (items[i].weight <= capacity) {
            order.push_back(i);
        }
    }
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        if (is_richer(items[a], items[b]) || is_richer(items[b], items[a])) {
            return is_richer(items[a], items[b]);
        }
        return items[a].weight < items[b].weight;
    });
    return order;
}

KnapsackResult solve_sorted(std::span<const KnapsackItem> items, std::int64_t capacity, const KnapsackLimits& limits) {
    FirstChoice first = first_choice(items, capacity);
    if (std::find(first.taken.begin(), first.taken.end(), false) == first.taken.end()) {
        return {.taken = first.taken, .weight = first.weight, .profit = first.profit, .profit_bound = first.profit};
    }
    CoreSearch search(items, capacity, limits, std::move(first));
    search.run();
    return search.result();
}

}  // namespace

bool is_richer(const KnapsackItem& a, const KnapsackItem& b) {
    return wide_product(a.profit, b.weight) > wide_product(b.profit, a.weight);
}

KnapsackResult solve_knapsack(std::span<const KnapsackItem> items, std::int64_t capacity,
                              const KnapsackLimits& limits) {
    const std::vector<std::size_t> order = richest_first(items, capacity);
    std::vector<KnapsackItem> sorted;
    sorted.reserve(order.size());
    for (const std::size_t i : order) {
        sorted.push_back(items[i]);
    }
    KnapsackResult result = solve_sorted(sorted, capacity, limits);
    std::vector<bool> taken(items.size(), false);
    for (std::size_t i = 0; i < order.size(); ++i) {
        taken[order[i]] = result.taken[i];
    }
    result.taken = std::move(taken);
    return result;
}

}  // namespace eaveshed
