#include "eaveshed/settings/settings.hpp"

#include <gtest/gtest.h>

#include <algorithm>

namespace eaveshed {
namespace {

TEST(Settings, DrawInTheForbearanceMonthsWhereNothingElseIsSaid) {
    Settings settings;
    EXPECT_EQ(settings.season_months().draw, settings.season_months().forbear);
    settings.season.draw_months = {7, 8};
    const Season season = settings.season_months();
    EXPECT_TRUE(season.draw.has(7));
    EXPECT_FALSE(season.draw.has(9));
    EXPECT_TRUE(season.forbear.has(9));
}

// method.md 2.3: the tank year begins with the month after the last forbearance month, in whatever order they are
// written and also where they run over the turn of the year.
TEST(Settings, TankYearsBeginAfterTheLastForbearanceMonth) {
    Settings settings;
    EXPECT_EQ(settings.season_months().first_month, 11);
    settings.season.forbear_months = {1, 12, 2};
    EXPECT_EQ(settings.season_months().first_month, 3);
}

TEST(Settings, ShippedTanksStandInAscendingOrderAndAreWhatTheirCountSays) {
    const std::vector<TankOption> tanks = shipped_catalogue();
    ASSERT_EQ(tanks.size(), 8U);
    EXPECT_TRUE(std::ranges::is_sorted(tanks, {}, &TankOption::nominal_m3));
    EXPECT_NEAR(tanks.back().nominal_m3(), 189.0, 1e-12);
    EXPECT_EQ(Settings().tanks.size(), tanks.size());
}

TEST(Settings, ALayerIsGivenByItsFile) {
    LayerSource source;
    EXPECT_FALSE(source.given());
    source.layer = "roofs";
    EXPECT_FALSE(source.given());
    source.source = "roofs.gpkg";
    EXPECT_TRUE(source.given());
}

}  // namespace
}  // namespace eaveshed
