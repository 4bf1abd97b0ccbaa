#include "eaveshed/site/site_survey.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "site/tile_samples.hpp"

namespace eaveshed {
namespace {

class Survey : public ::testing::Test {
protected:
    Survey() : m_settings(two_options()) {}

    const SiteSurvey& survey(const TileParcel* parcel = nullptr) {
        m_rules = rules_from(m_settings);
        m_tile = std::make_unique<TileInput>(tile_with({{std::nullopt, {m_roof}}}, mean_year(m_settings)));
        RoofRows rows;
        const auto eave = evaluate_eave(m_roof, *m_tile, m_rules, rows);
        m_site = std::make_unique<SiteSurvey>(m_roof, parcel, *m_tile, m_rules, eave.value());
        return *m_site;
    }

    Settings m_settings;
    TileRules m_rules;
    TileRoof m_roof = roof_at(100, 100);
    std::unique_ptr<TileInput> m_tile;
    std::unique_ptr<SiteSurvey> m_site;
};

// method.md 6.14: a garden cell of middling elevation stands in, and is said to.
TEST_F(Survey, AssumesAMiddlingGardenCellWhereNoPointIsGiven) {
    const SiteSurvey& site = survey();
    ASSERT_TRUE(site.use_point());
    EXPECT_TRUE(site.use_point()->assumed);
    const std::vector<double>& garden = site.garden_elev_m();
    ASSERT_FALSE(garden.empty());
    EXPECT_TRUE(std::ranges::is_sorted(garden));
    EXPECT_EQ(site.use_point()->use_elev_m.value(), garden[(garden.size() + 1) / 2 - 1]);
    EXPECT_EQ(site.garden_cell_count(), garden.size());
    // Cells of 2 m, every one of them on the lattice of 3 m: 4 m2 each.
    EXPECT_NEAR(site.garden_m2(), 4.0 * static_cast<double>(garden.size()), 1e-9);
}

TEST_F(Survey, TakesTheParcelsOwnPointAtTheGroundThere) {
    TileParcel parcel = parcel_with_measured_use();
    parcel.facts.set_use_point(Point{60.0, 100.0});
    const SiteSurvey& site = survey(&parcel);
    ASSERT_TRUE(site.use_point());
    EXPECT_FALSE(site.use_point()->assumed);
    EXPECT_NEAR(site.use_point()->use_elev_m.value(), ground_m({60.0, 100.0}), 1e-9);
}

// Terrain, garden and open ground are found once a parcel: no roof may tell.
TEST_F(Survey, IsTheSameWithTheGroundThatAnotherRoofOfTheParcelHasFound) {
    TileParcel parcel = parcel_with_measured_use();
    parcel.outline = testing::rectangle(90.0, 90.0, 45.0, 45.0);
    TileRoof other = roof_at(120, 110);
    other.ordinal = m_roof.ordinal + 1;
    m_rules = rules_from(m_settings);
    TileInput tile = tile_with({{parcel, {m_roof, other}}}, mean_year(m_settings));
    RoofRows rows;
    const Eave eave = evaluate_eave(m_roof, tile, m_rules, rows).value();
    const SiteSurvey first(m_roof, &parcel, tile, m_rules, eave);
    const Tanks tanks = tanks_of(m_rules.options[0], m_settings);
    ASSERT_FALSE(first.search().best(tanks, 1).empty());
    const SiteSurvey alone(other, &parcel, tile, m_rules, eave);
    const SiteSurvey sharing(other, &parcel, tile, m_rules, eave, {.same_parcel = &first});
    EXPECT_EQ(&sharing.garden(), &first.garden()) << "it was to be shared";
    EXPECT_EQ(sharing.garden_elev_m(), alone.garden_elev_m());
    EXPECT_EQ(sharing.use_point()->place, alone.use_point()->place);
    const auto pads = alone.search().best(tanks, 3);
    const auto shared = sharing.search().best(tanks, 3);
    EXPECT_EQ(sharing.search().ground(), first.search().ground()) << "it was to be shared";
    ASSERT_EQ(pads.size(), shared.size());
    for (std::size_t i = 0; i < pads.size(); ++i) {
        EXPECT_EQ(pads[i].cell, shared[i].cell);
        EXPECT_EQ(pads[i].fill_margin_m, shared[i].fill_margin_m);
    }
}

TEST_F(Survey, FallsBackOnTheGardenWhereTheGivenPointHasNoGround) {
    TileParcel parcel = parcel_with_measured_use();
    parcel.facts.set_use_point(Point{-500.0, 100.0});
    EXPECT_TRUE(survey(&parcel).use_point()->assumed);
}

TEST_F(Survey, ARowOfAPadSaysWhatTheSearchFound) {
    const SiteSurvey& site = survey();
    const StorageOption& option = m_rules.options[0];
    const auto pads = site.search().best(tanks_of(option, m_settings), 1);
    ASSERT_FALSE(pads.empty());
    const PadRow row = site.row_of(pads.front(), option);
    EXPECT_EQ(row.place, pads.front().place.crs);
    EXPECT_EQ(row.pad_elev_m, pads.front().pad_elev_m);
    EXPECT_EQ(row.use_elev_m, site.use_point()->use_elev_m);
    EXPECT_EQ(row.garden_m2, site.garden_m2());
    EXPECT_LE(row.reach_70_m2.value(), row.reach_35_m2.value());
    EXPECT_LE(row.reach_35_m2.value(), row.reach_10_m2.value());
    EXPECT_LE(row.gravity_probability.value(), std::min(row.fill_probability.value(), row.feed_probability.value()));
}

}  // namespace
}  // namespace eaveshed
