#include "eaveshed/rain/harvest_lanes.hpp"

#include <gtest/gtest.h>

#include <vector>

#include "eaveshed/core/error.hpp"
#include "eaveshed/rain/record.hpp"
#include "eaveshed/rain/years.hpp"
#include "support/plain_values.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

using testing::autumn;
using testing::RandomNumbers;

struct Record {
    CondensedDays days;
    std::vector<Lanes> wet_mm;
};

Record random_record(RandomNumbers& random) {
    const Timeline timeline = make_series_timeline(RainKind::daily, Calendar::standard, {2000, 10, 20}, 1200, autumn());
    std::vector<bool> wet;
    for (std::size_t day = 0; day < timeline.steps.size(); ++day) {
        wet.push_back(random.chance(0.3));
    }
    Record record{condense_days(timeline, wet, autumn()), {}};
    record.wet_mm.resize(record.days.wet_steps.size());
    for (Lanes& day : record.wet_mm) {
        for (double& depth : day) {
            depth = random.chance(0.3) ? 0.0 : random.between(0.0, 20.0);
        }
    }
    return record;
}

LaneRoof random_roof(RandomNumbers& random) {
    return {.rules = {.runoff_coefficient = random.between(0.3, 1.0),
                      .collection_efficiency = random.between(0.5, 1.0),
                      .first_flush_mm = random.between(0.0, 3.0),
                      .dry_days = random.whole(0, 4),
                      .wet_day_mm = random.between(0.1, 2.0),
                      .mean_event_mm = 12.0},
            .plan_area_m2 = random.between(30.0, 400.0),
            .connected_share = random.between(0.2, 1.0),
            .other_runoff = {random.between(0.3, 1.0), random.between(0.3, 1.0)}};
}

void expect_as_alone(const LaneHarvest& together, const Record& record, const LaneRoof& roof, std::size_t lane,
                     bool with_others) {
    const std::size_t steps = record.days.timeline.steps.size();
    const std::vector<double> wet_mm = lane_of(record.wet_mm, lane);
    const auto volumes = [&](const std::vector<double>& depths_mm) {
        return inflows_m3(roof.plan_area_m2, roof.connected_share, depths_mm);
    };
    const HarvestDepths alone = harvest_depths(record.days.spells, steps, wet_mm, roof.rules);
    const auto sums = [&](const std::vector<double>& per_step) {
        return year_sums(per_step, record.days.timeline, autumn().fill, record.days.timeline.years);
    };
    EXPECT_EQ(lane_of(together.first_flush_m3, lane), sums(volumes(alone.diverted_mm)));
    EXPECT_EQ(lane_of(together.inflow_m3, lane), volumes(alone.harvest_mm));
    EXPECT_EQ(lane_of(together.rain_mm, lane), sums(step_depths_mm(record.days, wet_mm)));
    EXPECT_GT(together.rain_mm.size(), 1U);
    EXPECT_GT(testing::sum(alone.harvest_mm), 0.0);
    for (std::size_t other = 0; other < kOtherRunoffs; ++other) {
        HarvestRules rules = roof.rules;
        rules.runoff_coefficient = roof.other_runoff[other];
        EXPECT_EQ(lane_of(together.other_inflow_m3[other], lane),
                  with_others ? volumes(harvest_depths(record.days.spells, steps, wet_mm, rules).harvest_mm)
                              : std::vector<double>{});
    }
}

TEST(HarvestLanes, RoofsSideBySideAreWhatEachIsAlone) {
    RandomNumbers random(17);
    LaneHarvest together;  // its memory is used again
    for (std::size_t count = 1; count <= kLanes; ++count) {
        SCOPED_TRACE(count);
        const Record record = random_record(random);
        std::vector<LaneRoof> roofs;
        for (std::size_t k = 0; k < count; ++k) {
            roofs.push_back(random_roof(random));
        }
        const bool with_others = count % 2 == 0;
        for (const Vectors vectors : vectors_here()) {
            run_harvests(record.days, autumn().fill, record.wet_mm, roofs, with_others, together, vectors);
            for (std::size_t k = 0; k < count; ++k) {
                expect_as_alone(together, record, roofs[k], k, with_others);
            }
        }
    }
}

TEST(HarvestLanes, RainOfAnotherLengthIsABrokenInvariant) {
    RandomNumbers random(17);
    Record record = random_record(random);
    record.wet_mm.pop_back();
    LaneHarvest out;
    EXPECT_THROW(run_harvests(record.days, {}, record.wet_mm, std::vector<LaneRoof>(1), false, out), Error);
}

TEST(HarvestLanes, MoreRoofsThanLanesAreABrokenInvariant) {
    LaneHarvest out;
    EXPECT_THROW(run_harvests({}, {}, {}, std::vector<LaneRoof>(kLanes + 1), false, out), Error);
}

}  // namespace
}  // namespace eaveshed
