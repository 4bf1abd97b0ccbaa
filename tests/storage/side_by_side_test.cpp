#include "eaveshed/storage/side_by_side.hpp"

#include <gtest/gtest.h>

#include <array>
#include <vector>

#include "eaveshed/core/error.hpp"
#include "support/plain_values.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

using testing::autumn;
using testing::RandomNumbers;

constexpr std::array<StoreRule, 2> kStoreRules{StoreRule::after_spillage, StoreRule::before_spillage};
constexpr double kReliability = 0.8;

// Wet days at random; demand now and then, in winter only where `in_winter`.
struct RandomFlows {
    RandomFlows(RandomNumbers& random, const Timeline& timeline, bool in_winter)
        : inflow_m3(timeline.steps.size()), demand_m3(timeline.steps.size()) {
        for (std::size_t i = 0; i < timeline.steps.size(); ++i) {
            inflow_m3[i] = random.chance(0.3) ? random.between(0.0, 2.0) : 0.0;
            const bool draws = in_winter || autumn().forbear.has(timeline.steps[i].month);
            demand_m3[i] = draws && random.chance(0.5) ? random.between(0.0, 2.0) : 0.0;
        }
    }
    std::vector<double> inflow_m3;
    std::vector<double> demand_m3;
};

void expect_same(const Behaviour& left, const Behaviour& right) {
    EXPECT_EQ(left.replaced_mean_m3, right.replaced_mean_m3);
    EXPECT_EQ(left.replaced_dependable_m3, right.replaced_dependable_m3);
    EXPECT_EQ(left.replaced_worst_m3, right.replaced_worst_m3);
    EXPECT_EQ(left.season_reliability, right.season_reliability);
    EXPECT_EQ(left.volume_reliability, right.volume_reliability);
    EXPECT_EQ(left.full_winters_share, right.full_winters_share);
    EXPECT_EQ(left.overflow_mean_m3, right.overflow_mean_m3);
    EXPECT_EQ(left.seasons_met, right.seasons_met);
    EXPECT_EQ(left.seasons, right.seasons);
}

Behaviour alone(const Timeline& timeline, std::span<const TankYear> counted, const RandomFlows& flows, Store store,
                StoreRule rule) {
    return behaviour(run_store(timeline, counted, flows.inflow_m3, flows.demand_m3, store, rule), kReliability);
}

struct World {
    Timeline timeline;
    std::vector<RandomFlows> flows;
    std::vector<std::vector<TankYear>> counted;
    std::vector<Store> stores;
};

World random_world(RandomNumbers& random, Timeline timeline) {
    World world{std::move(timeline), {}, {}, {}};
    for (int record = 0; record < 6; ++record) {
        world.flows.emplace_back(random, world.timeline, record == 4);
        std::vector<TankYear>& counted = world.counted.emplace_back();
        for (const TankYear& year : world.timeline.years) {
            if (counted.empty() || random.chance(0.8)) {
                counted.push_back(year);
            }
        }
    }
    const int stores = random.whole(1, 11);
    for (int i = 0; i < stores; ++i) {
        const double usable_m3 = random.between(0.5, 60.0);
        world.stores.push_back({usable_m3, random.between(0.0, 0.5) * usable_m3});
    }
    return world;
}

void expect_records_as_alone(const World& world, std::size_t count, StoreRule rule, Vectors vectors) {
    std::vector<CountedFlows> records;
    for (std::size_t i = 0; i < count; ++i) {
        records.push_back({{world.flows[i].inflow_m3, world.flows[i].demand_m3}, world.counted[i]});
    }
    const auto together = behaviours(world.timeline, records, world.stores, rule, kReliability, vectors);
    ASSERT_EQ(together.size(), count);
    for (std::size_t i = 0; i < count; ++i) {
        ASSERT_EQ(together[i].size(), world.stores.size());
        for (std::size_t k = 0; k < world.stores.size(); ++k) {
            expect_same(together[i][k], alone(world.timeline, world.counted[i], world.flows[i], world.stores[k], rule));
        }
    }
}

TEST(SideBySide, StoresOnRecordsAreWhatEachIsAlone) {
    for (std::uint64_t seed = 0; seed < 12; ++seed) {
        RandomNumbers random(seed);
        const Timeline days = make_series_timeline(RainKind::daily, Calendar::standard, {2000, 11, 1}, 2000, autumn());
        for (const World& world : {random_world(random, days), random_world(random, make_normals_timeline(autumn()))}) {
            for (const StoreRule rule : kStoreRules) {
                for (const Vectors vectors : vectors_here()) {
                    for (std::size_t count = 0; count <= world.flows.size(); ++count) {
                        expect_records_as_alone(world, count, rule, vectors);
                    }
                }
            }
        }
    }
}

VariedFlows random_variations(RandomNumbers& random, const World& world) {
    const auto factors = [&] {
        Lanes lanes;
        for (double& factor : lanes) {
            factor = random.chance(0.4) ? 0.0 : random.chance(0.5) ? 1.0 : random.between(0.0, 2.0);
        }
        return lanes;
    };
    VariedFlows flows{{}, {world.flows[4].demand_m3, factors()}};
    for (int series = random.whole(1, 5); series > 0; --series) {
        flows.inflow_m3.push_back({world.flows[static_cast<std::size_t>(series)].inflow_m3, factors()});
    }
    return flows;
}

// The flows of one lane by themselves.
RandomFlows flows_of_lane(const VariedFlows& varied, std::size_t lane, RandomFlows flows) {
    for (std::size_t i = 0; i < flows.inflow_m3.size(); ++i) {
        flows.inflow_m3[i] = 0.0;
        for (const VariedSeries& series : varied.inflow_m3) {
            flows.inflow_m3[i] += series.values[i] * series.factors[lane];
        }
        flows.demand_m3[i] = varied.demand_m3.values[i] * varied.demand_m3.factors[lane];
    }
    return flows;
}

TEST(SideBySide, VariationsInLanesAreWhatEachIsAlone) {
    for (std::uint64_t seed = 0; seed < 12; ++seed) {
        RandomNumbers random(seed);
        const Timeline days = make_series_timeline(RainKind::daily, Calendar::standard, {2000, 11, 1}, 2000, autumn());
        for (const World& world : {random_world(random, days), random_world(random, make_normals_timeline(autumn()))}) {
            const VariedFlows varied = random_variations(random, world);
            for (const StoreRule rule : kStoreRules) {
                for (const Vectors vectors : vectors_here()) {
                    const auto together = lane_behaviours(world.timeline, world.counted[0], varied, world.stores[0],
                                                          rule, kReliability, vectors);
                    for (std::size_t lane = 0; lane < kLanes; ++lane) {
                        expect_same(together[lane],
                                    alone(world.timeline, world.counted[0], flows_of_lane(varied, lane, world.flows[0]),
                                          world.stores[0], rule));
                    }
                }
            }
        }
    }
}

TEST(SideBySide, FlowsOfAnotherLengthAreABrokenInvariant) {
    const Timeline timeline = make_series_timeline(RainKind::monthly, Calendar::standard, {2000, 11, 1}, 24, autumn());
    const std::vector<double> good(24, 0.0);
    const std::vector<double> shorter(23, 0.0);
    const std::vector<Store> stores{{5.0, 0.0}};
    for (const Flows& flows : {Flows{shorter, good}, Flows{good, shorter}}) {
        const CountedFlows record{flows, timeline.years};
        EXPECT_THROW((void)behaviours(timeline, {&record, 1}, stores, StoreRule::after_spillage, kReliability), Error);
    }
    EXPECT_THROW((void)lane_behaviours(timeline, timeline.years, {{{shorter, {}}}, {good, {}}}, stores[0],
                                       StoreRule::after_spillage, kReliability),
                 Error);
}

}  // namespace
}  // namespace eaveshed
