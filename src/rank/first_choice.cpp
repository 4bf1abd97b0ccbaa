#include "first_choice.hpp"

#include <algorithm>
#include <cstddef>
#include <limits>
#include <numeric>

namespace eaveshed {

namespace {

constexpr int kSwaps = 50;
constexpr std::size_t kNothing = std::numeric_limits<std::size_t>::max();

struct Swap {
    std::size_t out = kNothing;
    std::size_t in = kNothing;
    std::int64_t profit = 0;  // gained
};

std::vector<std::size_t> by_weight(std::span<const KnapsackItem> items) {
    std::vector<std::size_t> order(items.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return items[a].weight < items[b].weight; });
    return order;
}

// The swap that gains most. `order`: the items by weight, so that for a heavier item that leaves, the items that may
// take its place only become more.
Swap best_swap(std::span<const KnapsackItem> items, std::span<const std::size_t> order, const FirstChoice& choice,
               std::int64_t room) {
    Swap best;
    std::size_t dearest = kNothing;  // of the items left out that fit
    auto next = order.begin();
    const auto try_without = [&](std::size_t out, const KnapsackItem& item) {
        for (; next != order.end() && items[*next].weight <= room + item.weight; ++next) {
            if (!choice.taken[*next] && (dearest == kNothing || items[*next].profit > items[dearest].profit)) {
                dearest = *next;
            }
        }
        if (dearest != kNothing && items[dearest].profit - item.profit > best.profit) {
            best = {out, dearest, items[dearest].profit - item.profit};
        }
    };
    try_without(kNothing, {});
    for (const std::size_t out : order) {
        if (choice.taken[out]) {
            try_without(out, items[out]);
        }
    }
    return best;
}

void put(FirstChoice& choice, std::span<const KnapsackItem> items, std::size_t item, bool taken) {
    if (item == kNothing) {
        return;
    }
    choice.taken[item] = taken;
    choice.weight += taken ? items[item].weight : -items[item].weight;
    choice.profit += taken ? items[item].profit : -items[item].profit;
}

}  // namespace

FirstChoice first_choice(std::span<const KnapsackItem> items, std::int64_t capacity) {
    FirstChoice choice{.taken = std::vector<bool>(items.size(), false)};
    for (std::size_t i = 0; i < items.size(); ++i) {
        if (choice.weight + items[i].weight <= capacity) {
            put(choice, items, i, true);
        }
    }
    const std::vector<std::size_t> order = by_weight(items);
    for (int i = 0; i < kSwaps; ++i) {
        const Swap swap = best_swap(items, order, choice, capacity - choice.weight);
        if (swap.in == kNothing) {
            break;
        }
        put(choice, items, swap.out, false);
        put(choice, items, swap.in, true);
    }
    return choice;
}

}  // namespace eaveshed
