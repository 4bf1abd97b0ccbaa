// A thousand draws of the ranking: candidates x draws a second.
#include <benchmark/benchmark.h>

#include <string>
#include <vector>

#include "eaveshed/rank/stability.hpp"
#include "rank/score_rules.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

constexpr std::uint32_t kDraws = 1000;

std::vector<std::string> ids(std::int64_t parcels) {
    std::vector<std::string> all;
    for (std::int64_t i = 0; i < parcels; ++i) {
        all.push_back(std::to_string(i));
    }
    return all;
}

std::vector<StabilityCandidate> candidates(const std::vector<std::string>& parcel_ids) {
    testing::RandomNumbers random(3);
    std::vector<StabilityCandidate> all;
    for (const std::string& id : parcel_ids) {
        all.push_back({.parcel_id = id,
                       .store_m3 = random.between(2.0, 60.0),
                       .harvest_m3 = random.between(5.0, 80.0),
                       .demand_m3 = random.between(5.0, 60.0),
                       .source_share = random.chance(0.3) ? 0.0 : 1.0,
                       .season_reliability = random.between(0.0, 1.0),
                       .gravity = GravityMargins{random.between(-1.0, 3.0), random.between(-10.0, 60.0), 0.6, 0.15}});
    }
    return all;
}

void stability_of_the_top(benchmark::State& state) {
    const std::vector<std::string> parcel_ids = ids(state.range(0));
    const std::vector<StabilityCandidate> all = candidates(parcel_ids);
    const StabilityRule rule{.score = testing::shipped_rule(), .season_days = 92.0, .top = 25, .seed = 1};
    for (auto _ : state) {
        benchmark::DoNotOptimize(rank_stability(all, rule, kDraws));
    }
    state.SetItemsProcessed(state.iterations() * state.range(0) * kDraws);
}
BENCHMARK(stability_of_the_top)->ArgName("parcels")->Arg(1000)->Arg(10000)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace eaveshed
