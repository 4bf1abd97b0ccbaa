#include "eaveshed/site/siting.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

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
        m_site = std::make_unique<SiteSurvey>(m_roof, m_parcel ? &*m_parcel : nullptr, *m_tile, m_rules, *eave);
    }

    Settings m_settings;
    TileRules m_rules;
    TileRoof m_roof = roof_at(100, 100);
    std::optional<TileParcel> m_parcel;
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

// A strip of land 8 m wide, with setbacks of 1.5 m: four tanks need 8.37 m side by side and 11.7 m in a row along the
// contour, which crosses it; one needs 5.4 m.
TEST_F(Siting, WithoutAPadTheNextSmallerStorageIsTaken) {
    m_parcel = parcel_with_measured_use();
    m_parcel->outline = testing::rectangle(80.0, 101.0, 32.0, 8.0);
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

// Half a metre more is enough for four of them side by side.
TEST_F(Siting, SeveralTanksStandSideBySideWhereTheyHaveRoom) {
    m_parcel = parcel_with_measured_use();
    m_parcel->outline = testing::rectangle(80.0, 100.5, 32.0, 9.0);
    survey();
    RoofRows rows;
    EXPECT_EQ(evaluate_siting(*m_site, m_rules, 1, rows).option, 1U);
    ASSERT_TRUE(rows.pad);
    EXPECT_EQ(rows.pad->arrangement, Arrangement::cluster);
    EXPECT_NEAR(rows.pad->pad_radius_m.value(), 2.4142 * 1.05 + 0.15, 1e-12);
    EXPECT_FALSE(rows.pad->row_length_m);
    EXPECT_FALSE(rows.pad->row_bearing_deg);
}

// A strip along the contour that is too narrow for a cluster holds a row of 3 x 2.1 m + 1.8 m.
TEST_F(Siting, SeveralTanksStandInARowWhereAClusterHasNoRoom) {
    m_parcel = parcel_with_measured_use();
    m_parcel->outline = testing::rectangle(91.0, 90.0, 8.0, 40.0);
    survey();
    RoofRows rows;
    EXPECT_EQ(evaluate_siting(*m_site, m_rules, 1, rows).option, 1U);
    ASSERT_TRUE(rows.pad);
    EXPECT_EQ(rows.pad->arrangement, Arrangement::row);
    EXPECT_NEAR(rows.pad->row_length_m.value(), 8.1, 1e-12);
    EXPECT_NEAR(rows.pad->pad_radius_m.value(), 1.2, 1e-12);
    EXPECT_NEAR(rows.pad->row_bearing_deg.value(), 180.0 - std::atan(0.001 / 0.05) * 180.0 / std::numbers::pi, 1e-6);
    EXPECT_NEAR(rows.pad->cut_m.value(), 2.0 * 1.2 * std::hypot(0.05, 0.001), 1e-9);
    EXPECT_NEAR(*rows.pad->ground_elev_m - *rows.pad->pad_elev_m, 1.2 * std::hypot(0.05, 0.001), 1e-9);
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
