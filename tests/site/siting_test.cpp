#include "eaveshed/site/siting.hpp"

#include <gtest/gtest.h>

#include "eaveshed/site/evaluate_roofs.hpp"
#include "site/tile_samples.hpp"

namespace eaveshed {
namespace {

// One roof on the ground of the samples, surveyed with its eave.
class Siting : public ::testing::Test {
protected:
    Siting() : m_settings(two_options()) {}

    void survey() {
        m_rules = rules_from(m_settings);
        m_tile = std::make_unique<TileInput>(tile_with({{std::nullopt, {m_roof}}}, mean_year(m_settings)));
        RoofRows rows;
        const auto eave = evaluate_eave(m_roof, *m_tile, m_rules, rows);
        ASSERT_TRUE(eave);
        m_site = std::make_unique<SiteSurvey>(m_roof, nullptr, *m_tile, m_rules, *eave);
    }

    Settings m_settings;
    TileRules m_rules;
    TileRoof m_roof = roof_at(100, 100);
    std::unique_ptr<TileInput> m_tile;
    std::unique_ptr<SiteSurvey> m_site;
};

TEST_F(Siting, TheRecommendedStorageStandsWhereItHasAPad) {
    survey();
    const auto tried = try_options(m_site->search(), m_rules, 1);
    ASSERT_EQ(tried.size(), 1U);
    EXPECT_EQ(tried.front().option, 1U);
    EXPECT_TRUE(tried.front().pad);
    RoofRows rows;
    const OptionTried sited = evaluate_siting(*m_site, m_rules, 1, rows);
    EXPECT_EQ(sited.option, 1U);
    ASSERT_TRUE(rows.pad);
    EXPECT_EQ(rows.roof.delivery, rows.pad->delivery);
    EXPECT_EQ(rows.roof.pad_elev_m, rows.pad->pad_elev_m);
    EXPECT_EQ(rows.pad->storage_m3, m_rules.options[1].nominal_m3);
    EXPECT_FALSE(rows.roof.flags.has(Flag::smaller_storage));
    EXPECT_TRUE(rows.roof.flags.has(Flag::assumed_use_point));
}

// The building setback is asked of the circle of all tanks: four need more room than the parcel-less ground between
// two roofs, one does not.
TEST_F(Siting, WithoutAPadTheNextSmallerStorageIsTaken) {
    m_settings.siting.max_fill_m = 3.4;  // only cells beside the roof
    m_settings.siting.building_setback_m = 1.0;
    survey();
    const auto tried = try_options(m_site->search(), m_rules, 1);
    ASSERT_EQ(tried.size(), 2U);
    EXPECT_FALSE(tried[0].pad);
    EXPECT_EQ(tried[1].option, 0U);
    ASSERT_TRUE(tried[1].pad);
    RoofRows rows;
    EXPECT_EQ(evaluate_siting(*m_site, m_rules, 1, rows).option, 0U);
    EXPECT_TRUE(rows.roof.flags.has(Flag::smaller_storage));
    EXPECT_EQ(site_option(m_site->search(), m_rules, 1).option, 0U);
}

TEST_F(Siting, WhereNoneHasAPadTheRecommendedOneKeepsItsReason) {
    m_settings.siting.max_slope_pct = 1.0;  // the ground rises 5 %
    survey();
    RoofRows rows;
    const OptionTried sited = evaluate_siting(*m_site, m_rules, 1, rows);
    EXPECT_EQ(sited.option, 1U);
    EXPECT_FALSE(sited.pad);
    EXPECT_FALSE(rows.pad);
    EXPECT_EQ(rows.roof.delivery, Delivery::no_pad);
    EXPECT_EQ(rows.roof.no_pad_reason, PadReason::slope);
    EXPECT_TRUE(rows.roof.window_low_elev_m) << "the window is told all the same";
}

TEST_F(Siting, WithoutAUsePointNothingIsSearched) {
    m_settings.siting.garden_max_slope_pct = 0.5;  // no garden cell is that flat
    survey();
    RoofRows rows;
    EXPECT_FALSE(evaluate_siting(*m_site, m_rules, 1, rows).pad);
    EXPECT_EQ(rows.roof.no_pad_reason, PadReason::no_use_point);
    EXPECT_FALSE(rows.use_point);
    EXPECT_FALSE(rows.roof.window_low_elev_m);
}

}  // namespace
}  // namespace eaveshed
