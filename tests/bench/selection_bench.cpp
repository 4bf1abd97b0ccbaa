// The enrolment plan over 10,000 parcels with 8 sizes each: the label tells whether it is proven, or the gap.
#include <benchmark/benchmark.h>

#include <cmath>
#include <string>

#include "eaveshed/rank/selection.hpp"
#include "rank/size_samples.hpp"

namespace eaveshed {
namespace {

constexpr int kParcels = 10'000;
constexpr int kSizes = 8;

// Hard: the gain follows the cost but for a fixed amount, so that hardly any choice is richer than another.
testing::SizedOffers alike(testing::SizedOffers offers) {
    for (EnrolmentOffer& offer : offers.list) {
        offer.gain = std::round(offer.cost + 100.0);
    }
    return offers;
}

void tell(benchmark::State& state, const EnrolmentPlan& plan) {
    state.SetLabel(plan.proven ? "proven" : "gap " + std::to_string(100.0 * plan.gap) + " %");
}

void plan_for_a_budget(benchmark::State& state, const testing::SizedOffers& offers) {
    const double share = 0.01 * static_cast<double>(state.range(0));
    const double budget = share * testing::sum_of_greatest(offers, &EnrolmentOffer::cost);
    EnrolmentPlan plan;
    for (auto _ : state) {
        plan = most_gain(offers.list, budget);
    }
    tell(state, plan);
}

void plan_for_a_target(benchmark::State& state, const testing::SizedOffers& offers) {
    const double share = 0.01 * static_cast<double>(state.range(0));
    const double target = share * testing::sum_of_greatest(offers, &EnrolmentOffer::gain);
    EnrolmentPlan plan;
    for (auto _ : state) {
        plan = least_cost(offers.list, target);
    }
    tell(state, plan);
}

void curve(benchmark::State& state) {
    const testing::SizedOffers offers = testing::tanks_at_parcels(1, kParcels, kSizes);
    for (auto _ : state) {
        benchmark::DoNotOptimize(gain_curve(offers.list));
    }
}

void budget_of_tanks(benchmark::State& state) {
    plan_for_a_budget(state, testing::tanks_at_parcels(1, kParcels, kSizes));
}
void target_of_tanks(benchmark::State& state) {
    plan_for_a_target(state, testing::tanks_at_parcels(1, kParcels, kSizes));
}
void budget_of_offers_alike(benchmark::State& state) {
    plan_for_a_budget(state, alike(testing::tanks_at_parcels(1, kParcels, kSizes)));
}

BENCHMARK(budget_of_tanks)->ArgName("percent")->Arg(5)->Arg(20)->Arg(50)->Unit(benchmark::kMillisecond);
BENCHMARK(target_of_tanks)->ArgName("percent")->Arg(20)->Arg(50)->Arg(80)->Unit(benchmark::kMillisecond);
BENCHMARK(budget_of_offers_alike)->ArgName("percent")->Arg(20)->Unit(benchmark::kMillisecond);
BENCHMARK(curve)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace eaveshed
