#include "eaveshed/parts/balance.hpp"

#include <algorithm>
#include <numeric>

namespace eaveshed {

namespace {

// How many runs are needed where none may cost more than `limit`, which the dearest tile does not.
std::size_t runs_needed(std::span<const double> costs, double limit) {
    std::size_t runs = 1;
    double cost = 0.0;
    for (const double tile : costs) {
        if (cost + tile > limit) {
            ++runs;
            cost = 0.0;
        }
        cost += tile;
    }
    return runs;
}

// The least limit that so many runs can keep, to a part in 2^50: halving the way between what is surely too little and
// what is surely enough.
double least_limit(std::span<const double> costs, std::size_t runs) {
    constexpr int kHalvings = 50;
    double low = costs.empty() ? 0.0 : *std::ranges::max_element(costs);
    if (runs_needed(costs, low) <= runs) {
        return low;
    }
    double high = std::accumulate(costs.begin(), costs.end(), 0.0);
    for (int i = 0; i < kHalvings; ++i) {
        const double middle = low + (high - low) / 2.0;
        (runs_needed(costs, middle) <= runs ? high : low) = middle;
    }
    return high;
}

}  // namespace

std::vector<TileRun> balanced_runs(std::span<const double> costs, std::size_t runs) {
    const double limit = least_limit(costs, runs);
    std::vector<TileRun> shared;
    for (std::size_t next = 0; shared.size() < runs;) {
        TileRun run{next, 0};
        const std::size_t runs_after = runs - shared.size() - 1;
        double cost = 0.0;
        while (next < costs.size() && (run.count == 0 || cost + costs[next] <= limit)) {
            if (run.count > 0 && costs.size() - next <= runs_after) {
                break;  // a tile for each of the others
            }
            cost += costs[next++];
            ++run.count;
        }
        shared.push_back(run);
    }
    return shared;
}

}  // namespace eaveshed
