#include "eaveshed/rank/pareto.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>

#include "eaveshed/core/error.hpp"
#include "tier_tree.hpp"

namespace eaveshed {

namespace {

// A table of candidates, one row each.
struct Criteria {
    std::span<const double> values;
    std::size_t count = 0;

    [[nodiscard]] std::span<const double> row(std::uint32_t i) const { return values.subspan(i * count, count); }
};

// Best first by the first criterion, then by the next ones; equal rows by number.
std::vector<std::uint32_t> best_first(const Criteria& criteria, std::size_t rows) {
    std::vector<std::uint32_t> order(rows);
    std::iota(order.begin(), order.end(), 0U);
    std::sort(order.begin(), order.end(), [&](std::uint32_t a, std::uint32_t b) {
        const std::span<const double> x = criteria.row(a);
        const std::span<const double> y = criteria.row(b);
        const auto [at_x, at_y] = std::mismatch(x.begin(), x.end(), y.begin());
        return at_x != x.end() ? *at_x > *at_y : a < b;
    });
    return order;
}

// All criteria but the first, whose order is that of the visit; the first where it is the only one.
std::vector<double> tree_values(const Criteria& criteria, std::size_t rows) {
    const std::size_t skipped = criteria.count > 1 ? 1 : 0;
    std::vector<double> values;
    values.reserve(rows * (criteria.count - skipped));
    for (std::uint32_t i = 0; i < rows; ++i) {
        const std::span<const double> row = criteria.row(i).subspan(skipped);
        values.insert(values.end(), row.begin(), row.end());
    }
    return values;
}

}  // namespace

std::vector<std::int32_t> pareto_tiers(std::span<const double> values, std::size_t criteria) {
    if (criteria == 0 || values.size() % criteria != 0 ||
        values.size() / criteria > std::numeric_limits<std::int32_t>::max()) {
        internal_error("a table of criteria of the wrong size");
    }
    if (std::any_of(values.begin(), values.end(), [](double value) { return std::isnan(value); })) {
        internal_error("a criterion that is not a number");
    }
    const Criteria table{values, criteria};
    const std::size_t rows = values.size() / criteria;
    std::vector<std::int32_t> tiers(rows, 1);
    if (rows == 0) {
        return tiers;
    }
    const std::vector<double> kept = tree_values(table, rows);
    TierTree tree(kept, kept.size() / rows);
    const std::vector<std::uint32_t> order = best_first(table, rows);
    for (std::size_t i = 0; i < rows; ++i) {
        const std::span<const double> row = table.row(order[i]);
        const bool repeated = i > 0 && std::equal(row.begin(), row.end(), table.row(order[i - 1]).begin());
        if (repeated) {
            tiers[order[i]] = tiers[order[i - 1]];
            continue;
        }
        tiers[order[i]] = tree.greatest_tier_above(order[i]) + 1;
        tree.put(order[i], tiers[order[i]]);
    }
    return tiers;
}

std::vector<std::int32_t> pareto_tiers(std::span<const ScoreComponents> candidates) {
    std::array<bool, kScoreComponents> present{};
    present.fill(true);
    for (const ScoreComponents& candidate : candidates) {
        const ComponentValues values = oriented(candidate);
        for (std::size_t i = 0; i < kScoreComponents; ++i) {
            present[i] = present[i] && values[i].has_value();
        }
    }
    const auto criteria = static_cast<std::size_t>(std::count(present.begin(), present.end(), true));
    std::vector<double> table;
    table.reserve(candidates.size() * criteria);
    for (const ScoreComponents& candidate : candidates) {
        const ComponentValues values = oriented(candidate);
        for (std::size_t i = 0; i < kScoreComponents; ++i) {
            if (present[i]) {
                table.push_back(*values[i]);
            }
        }
    }
    return pareto_tiers(table, criteria);
}

}  // namespace eaveshed
