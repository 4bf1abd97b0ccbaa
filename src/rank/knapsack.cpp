#include "knapsack.hpp"

#include <algorithm>
#include <utility>

#include "core_search.hpp"
#include "first_choice.hpp"
#include "wide.hpp"

namespace eaveshed {

namespace {

KnapsackItem difference(const KnapsackItem& to, const KnapsackItem& from) {
    return {.weight = to.weight - from.weight, .profit = to.profit - from.profit};
}

// Levels on the upper convex hull, from 0 on; of three in line the middle one is left out.
std::vector<std::uint32_t> hull_of(const KnapsackGroup& group, std::int64_t capacity) {
    std::vector<std::uint32_t> hull{0};
    for (std::uint32_t level = 1; level <= group.size() && group[level - 1].weight <= capacity; ++level) {
        while (hull.size() > 1) {
            const KnapsackItem last = item_at(group, hull.back());
            const KnapsackItem before = item_at(group, hull[hull.size() - 2]);
            if (is_richer(difference(last, before), difference(group[level - 1], last))) {
                break;
            }
            hull.pop_back();
        }
        hull.push_back(level);
    }
    return hull;
}

bool comes_first(const Upgrade& a, const Upgrade& b) {
    if (is_richer(a.step, b.step) || is_richer(b.step, a.step)) {
        return is_richer(a.step, b.step);
    }
    return a.step.weight != b.step.weight ? a.step.weight < b.step.weight : a.group < b.group;
}

}  // namespace

bool is_richer(const KnapsackItem& a, const KnapsackItem& b) {
    return wide_product(a.profit, b.weight) > wide_product(b.profit, a.weight);
}

std::vector<Upgrade> upgrades_of(std::span<const KnapsackGroup> groups, std::int64_t capacity) {
    std::vector<Upgrade> upgrades;
    for (std::uint32_t group = 0; group < groups.size(); ++group) {
        const std::vector<std::uint32_t> hull = hull_of(groups[group], capacity);
        for (std::size_t i = 1; i < hull.size(); ++i) {
            upgrades.push_back(
                {.group = group,
                 .to = hull[i],
                 .step = difference(item_at(groups[group], hull[i]), item_at(groups[group], hull[i - 1]))});
        }
    }
    std::stable_sort(upgrades.begin(), upgrades.end(), comes_first);
    return upgrades;
}

KnapsackResult solve_knapsack(std::span<const KnapsackGroup> groups, std::int64_t capacity,
                              const KnapsackLimits& limits) {
    const std::vector<Upgrade> upgrades = upgrades_of(groups, capacity);
    Choice filled{.level = std::vector<std::uint32_t>(groups.size(), 0)};
    std::size_t fitting = 0;
    for (; fitting < upgrades.size() && filled.weight + upgrades[fitting].step.weight <= capacity; ++fitting) {
        filled.level[upgrades[fitting].group] = upgrades[fitting].to;
        filled.weight += upgrades[fitting].step.weight;
        filled.profit += upgrades[fitting].step.profit;
    }
    if (fitting == upgrades.size()) {
        return {.level = filled.level, .weight = filled.weight, .profit = filled.profit, .profit_bound = filled.profit};
    }
    CoreSearch search({.groups = groups, .upgrades = upgrades, .fitting = fitting, .capacity = capacity}, limits,
                      filled, first_choice(groups, capacity, filled));
    search.run();
    return search.result();
}

}  // namespace eaveshed
