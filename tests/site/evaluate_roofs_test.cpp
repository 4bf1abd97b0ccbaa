#include "eaveshed/site/evaluate_roofs.hpp"

#include <gtest/gtest.h>

#include "eaveshed/record/values.hpp"
#include "site/tile_samples.hpp"

namespace eaveshed {
namespace {

std::vector<Value> row_of(const ComputedRoof& computed) {
    std::vector<Value> values;
    values_of(computed.result.roof, values);
    return values;
}

class EvaluateRoofs : public ::testing::Test {
protected:
    EvaluateRoofs() : m_settings(two_options()), m_rules(rules_from(m_settings)) {
        for (std::uint64_t i = 0; i < 11; ++i) {  // more than one group of lanes
            m_roofs.push_back(roof_at(20.0 + 14.0 * static_cast<double>(i % 6), i < 6 ? 60.0 : 120.0, i));
            m_roofs.back().plan_area_m2 = 60.0 + 10.0 * static_cast<double>(i);
        }
        m_roofs[4].status = Status::too_small;
        m_tile = std::make_unique<TileInput>(tile_with({{std::nullopt, m_roofs}}, mean_year(m_settings)));
    }

    Settings m_settings;
    TileRules m_rules;
    std::vector<TileRoof> m_roofs;
    std::unique_ptr<TileInput> m_tile;
};

TEST_F(EvaluateRoofs, EachIsToTheLastBitWhatItIsAlone) {
    std::vector<RoofTask> tasks;
    for (const TileRoof& roof : m_roofs) {
        tasks.push_back({&roof, nullptr});
    }
    const std::vector<ComputedRoof> together = evaluate_roofs(tasks, *m_tile, m_rules);
    ASSERT_EQ(together.size(), m_roofs.size());
    for (std::size_t i = 0; i < m_roofs.size(); ++i) {
        EXPECT_EQ(together[i].result.ordinal, i);
        EXPECT_EQ(row_of(together[i]), row_of(evaluate_roof(m_roofs[i], nullptr, *m_tile, m_rules))) << i;
    }
}

TEST_F(EvaluateRoofs, ARoofThatIsNotOkKeepsItsAreaAndNothingElse) {
    const ComputedRoof small = evaluate_roof(m_roofs[4], nullptr, *m_tile, m_rules);
    EXPECT_FALSE(small.ok());
    EXPECT_EQ(small.result.roof.plan_area_m2, m_roofs[4].plan_area_m2);
    EXPECT_FALSE(small.result.roof.harvest_mean_m3);
    EXPECT_TRUE(small.result.curve.empty());
    EXPECT_FALSE(small.pad);
}

TEST_F(EvaluateRoofs, WithoutRainTheStatusSaysSo) {
    m_roofs[0].climate_place.rain.reset();
    const ComputedRoof dry = evaluate_roof(m_roofs[0], nullptr, *m_tile, m_rules);
    EXPECT_EQ(dry.result.roof.status, Status::no_rain);
    EXPECT_FALSE(dry.water.has_rain);
}

TEST_F(EvaluateRoofs, WithoutElevationsTheWaterIsComputedAndTheReasonGiven) {
    m_roofs[0].outline = {};
    const ComputedRoof nowhere = evaluate_roof(m_roofs[0], nullptr, *m_tile, m_rules);
    EXPECT_TRUE(nowhere.result.roof.harvest_mean_m3);
    EXPECT_EQ(nowhere.result.roof.delivery, Delivery::no_pad);
    EXPECT_EQ(nowhere.result.roof.no_pad_reason, PadReason::no_elevation);
}

}  // namespace
}  // namespace eaveshed
