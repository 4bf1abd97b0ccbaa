#include "eaveshed/site/water.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "site/tile_samples.hpp"

namespace eaveshed {
namespace {

// method.md 3.4, monthly kinds: harvest and first flush per mm of rain, for metal (0.92), where an event of 12 mm runs
// off more than the first flush of 0.5 mm takes.
constexpr double kDivertedPerMm = 0.5 / 12.0;
constexpr double kHarvestPerMm = 0.95 * (0.92 - kDivertedPerMm);

class Water : public ::testing::Test {
protected:
    RoofRows run(const RoofClimate& climate) {
        RoofRows result;
        result.roof.plan_area_m2 = m_roof.plan_area_m2;
        const TileRules rules = rules_from(m_settings);
        m_outcome = evaluate_water(m_roof, &m_parcel, climate, rules, result);
        if (m_outcome.recommended) {
            const std::size_t option = *m_outcome.recommended;
            fill_storage(rules.options.at(option), m_outcome.options.at(option), m_outcome.take.source_share, rules,
                         result.roof);
        }
        return result;
    }
    Settings m_settings = two_options();
    TileRoof m_roof = roof_at(0, 0);
    TileParcel m_parcel = parcel_with_measured_use();
    WaterOutcome m_outcome;
};

// 58.4 m3 of winter harvest against a take of 9.2 m3: by hand.
TEST_F(Water, AMeanYearIsWorkedOutByHand) {
    const RoofRow row = run(mean_year(m_settings)).roof;
    const double harvest = 100.0 * kHarvestPerMm * 700.0 / 1000.0;
    EXPECT_EQ(row.runoff_coefficient, 0.92);
    EXPECT_EQ(row.connected_share, 1.0);
    EXPECT_NEAR(row.fill_rain_mm.value(), 700.0, 1e-12);
    EXPECT_NEAR(row.harvest_mean_m3.value(), harvest, 1e-12);
    EXPECT_NEAR(row.harvest_median_m3.value(), harvest, 1e-12);
    EXPECT_EQ(row.harvest_dependable_m3, std::nullopt);
    EXPECT_NEAR(row.first_flush_m3.value(), 100.0 * kDivertedPerMm * 700.0 / 1000.0, 1e-12);
    EXPECT_NEAR(row.demand_m3.value(), 9.2, 1e-12);
    // Four tanks: 19 m3 hold the whole season's 9.2 m3; one of 4.75 m3 does not.
    EXPECT_EQ(row.storage_m3, 20.0);
    EXPECT_NEAR(row.usable_m3.value(), 19.0, 1e-12);
    EXPECT_EQ(row.tank_count, 4);
    EXPECT_NEAR(row.replaced_mean_m3.value(), 9.2, 1e-12);
    EXPECT_EQ(row.replaced_dependable_m3, std::nullopt);
    EXPECT_EQ(row.replaced_worst_m3, std::nullopt);
    EXPECT_EQ(row.season_reliability, 1.0);
    EXPECT_NEAR(row.volume_reliability.value(), 1.0, 1e-12);
    EXPECT_EQ(row.full_winters_share, 1.0);
    EXPECT_NEAR(row.overflow_mean_m3.value(), harvest - 9.2, 1e-9);  // year by year what comes in goes out
    EXPECT_EQ(row.limited_by, LimitedBy::demand);
    EXPECT_NEAR(row.forbearance_m3.value(), 9.2, 1e-12);
    EXPECT_NEAR(row.forbearance_lps.value(), 9200.0 / (92.0 * 86400.0), 1e-15);
    EXPECT_EQ(row.instream_gain_lps, row.forbearance_lps);  // creek: share 1
    EXPECT_EQ(to_text(row.flags), "default_et0,mean_year_only");
}

TEST_F(Water, TheCurveHoldsEveryOptionSmallestFirst) {
    const RoofRows result = run(mean_year(m_settings));
    ASSERT_EQ(result.curve.size(), 2U);
    EXPECT_EQ(result.curve[0].storage_m3, 5.0);
    EXPECT_EQ(result.curve[0].tank_count, 1);
    EXPECT_NEAR(result.curve[0].replaced_mean_m3.value(), 4.75, 1e-12);  // all it holds
    EXPECT_NEAR(result.curve[0].volume_reliability.value(), 4.75 / 9.2, 1e-12);
    EXPECT_EQ(result.curve[0].season_reliability, 0.0);
    EXPECT_EQ(result.curve[1].storage_m3, 20.0);
    EXPECT_NEAR(result.curve[1].replaced_mean_m3.value(), 9.2, 1e-12);
    EXPECT_EQ(m_outcome.options.size(), 2U);
    EXPECT_EQ(m_outcome.recommended, 1U);
    EXPECT_EQ(m_outcome.take.source_share, 1.0);
}

TEST_F(Water, AnAssumedDryWinterGivesDependableAndWorstValues) {
    m_settings.rain.dry_winter_factor = 0.05;
    const RoofRow row = run(mean_year(m_settings)).roof;
    const double harvest = 100.0 * kHarvestPerMm * 700.0 / 1000.0;
    EXPECT_NEAR(row.harvest_mean_m3.value(), harvest, 1e-12);
    EXPECT_NEAR(row.harvest_dependable_m3.value(), 0.05 * harvest, 1e-12);
    EXPECT_NEAR(row.replaced_dependable_m3.value(), 0.05 * harvest, 1e-12);  // 2.9 m3: all of it is held and used
    EXPECT_EQ(row.replaced_worst_m3, row.replaced_dependable_m3);
    EXPECT_EQ(row.forbearance_m3, row.replaced_dependable_m3);
    // One tank holds that much already: the smaller option does as well.
    EXPECT_EQ(row.tank_count, 1);
    EXPECT_NEAR(row.replaced_mean_m3.value(), 4.75, 1e-12);  // of the mean year
    EXPECT_TRUE(row.flags.has(Flag::assumed_dry_winter));
    EXPECT_FALSE(row.flags.has(Flag::mean_year_only));
}

// Twelve winters of 100, 200, ... 1200 mm in no order. Weibull rank (Hyndman-Fan type 6) of p = 0.2: 0.2 x 13 = 2.6.
TEST_F(Water, DependableHarvestIsAQuantileOfWinters) {
    const RoofRow row =
        run(november_rains(m_settings, {700, 100, 1200, 300, 500, 200, 1100, 900, 400, 600, 1000, 800})).roof;
    const double per_mm = 100.0 * kHarvestPerMm / 1000.0;
    EXPECT_NEAR(row.harvest_mean_m3.value(), 650.0 * per_mm, 1e-9);
    EXPECT_NEAR(row.harvest_median_m3.value(), 650.0 * per_mm, 1e-9);
    EXPECT_NEAR(row.harvest_dependable_m3.value(), 260.0 * per_mm, 1e-9);
    EXPECT_NEAR(row.fill_rain_mm.value(), 650.0, 1e-9);
    EXPECT_NEAR(row.replaced_dependable_m3.value(), 9.2, 1e-9);
    EXPECT_NEAR(row.replaced_worst_m3.value(), 9.2, 1e-9);  // what is left of one summer lasts the next
    EXPECT_FALSE(row.flags.has(Flag::short_record));
    EXPECT_FALSE(row.flags.has(Flag::mean_year_only));
}

TEST_F(Water, FewerThanTenYearsAreAShortRecord) {
    EXPECT_FALSE(run(november_rains(m_settings, std::vector<double>(10, 500.0))).roof.flags.has(Flag::short_record));
    EXPECT_TRUE(run(november_rains(m_settings, std::vector<double>(9, 500.0))).roof.flags.has(Flag::short_record));
    // A year with a missing month counts nowhere: nine are left.
    std::vector<double> rain(10, 500.0);
    rain[4] = std::nan("");
    const RoofRow row = run(november_rains(m_settings, rain)).roof;
    EXPECT_TRUE(row.flags.has(Flag::short_record));
    EXPECT_NEAR(row.fill_rain_mm.value(), 500.0, 1e-9);
}

// 23 winters that bring 57 m3 in the mean, and a take of 60 m3. By the share of the best alone the ten tanks of
// together 189 m3 are the ones, which carry wet winters over to dry ones and are full in none. The step from two tanks
// to three gives nothing, that to five 5.3 m3 for 54.8 m3 and that to ten 26.7 m3 for 146.1 m3: less than a quarter.
TEST_F(Water, ARoofIsNotToldToBuyStorageThatIsNotWorthItsSize) {
    m_settings.tanks = Settings{}.tanks;
    m_parcel.facts.season_use_m3 = 60.0;
    const RoofClimate climate =
        november_rains(m_settings, {340, 1150, 360, 890, 960, 1110, 420,  480, 360, 1010, 790, 1170,
                                    730, 460,  470, 380, 700, 400,  1270, 360, 970, 440,  450});
    m_settings.storage.marginal_yield = 0.0;
    RoofRow row = run(climate).roof;
    EXPECT_NEAR(row.harvest_mean_m3.value(), 57.0, 0.5);
    EXPECT_NEAR(row.storage_m3.value(), 189.0, 1e-9);
    EXPECT_EQ(row.full_winters_share, 0.0);
    EXPECT_TRUE(row.flags.has(Flag::seldom_full));
    m_settings.storage.marginal_yield = Settings{}.storage.marginal_yield;
    row = run(climate).roof;
    EXPECT_NEAR(row.storage_m3.value(), 37.8, 1e-9);
    EXPECT_NEAR(row.full_winters_share.value(), 16.0 / 23.0, 1e-12);
    EXPECT_FALSE(row.flags.has(Flag::seldom_full));
    EXPECT_NEAR(m_outcome.options[5].behaviour.replaced_dependable_m3.value(),
                m_outcome.options[4].behaviour.replaced_dependable_m3.value(), 1e-9);
    EXPECT_NEAR(row.replaced_dependable_m3.value(), 31.4, 0.05);
}

// Ten winters, of which some fill the 4.75 m3: 100 mm bring 8.3 m3, 10 mm bring 0.8 m3.
TEST_F(Water, SeldomFullIsStorageThatIsFullInTooFewOfTheCountedYears) {
    m_settings.tanks = {{.volume_m3 = 5.0, .diameter_m = 1.8, .height_m = 2.0, .count = 1, .cost = {}}};
    const auto flagged = [&](int full) {
        std::vector<double> rain(10, 10.0);
        std::fill_n(rain.begin(), full, 100.0);
        const RoofRow row = run(november_rains(m_settings, rain)).roof;
        EXPECT_EQ(row.full_winters_share, full / 10.0);
        return row.flags.has(Flag::seldom_full);
    };
    EXPECT_TRUE(flagged(4));
    EXPECT_FALSE(flagged(5));  // at the share it is not
    m_settings.storage.seldom_full_share = 0.7;
    EXPECT_TRUE(flagged(6));
    EXPECT_FALSE(flagged(7));
    m_settings.storage.seldom_full_share = 0.0;
    EXPECT_FALSE(flagged(0));
}

TEST_F(Water, AssumedMaterialAndConnectionAreTold) {
    m_roof.facts.material = "thatch";
    m_roof.facts.connected_share = std::nullopt;
    const RoofRow row = run(mean_year(m_settings)).roof;
    EXPECT_TRUE(row.flags.has(Flag::default_material));
    EXPECT_TRUE(row.flags.has(Flag::default_connected));
    EXPECT_EQ(row.runoff_coefficient, 0.85);
    EXPECT_EQ(row.connected_share, 0.75);
    EXPECT_NEAR(row.harvest_mean_m3.value(), 100.0 * 0.75 * 0.95 * (0.85 - kDivertedPerMm) * 0.7, 1e-9);
}

TEST_F(Water, LargeAndSlenderTanksAskForAPermitCheck) {
    const auto asks = [&](double volume, double diameter, double height) {
        m_settings.tanks = {{.volume_m3 = volume, .diameter_m = diameter, .height_m = height, .count = 1, .cost = {}}};
        return run(mean_year(m_settings)).roof.flags.has(Flag::check_permit);
    };
    EXPECT_FALSE(asks(18.93, 3.0, 3.0));  // storage.permit_volume_m3, at the limit
    EXPECT_TRUE(asks(18.94, 3.0, 3.0));
    EXPECT_FALSE(asks(5.0, 1.0, 2.0));  // storage.permit_ratio, at the limit
    EXPECT_TRUE(asks(5.0, 1.0, 2.01));
}

TEST_F(Water, WithoutRainNothingIsFilled) {
    const RoofClimate dry = climate_of(MeanYear(make_normals_timeline(m_settings.season_months())),
                                       one_cell(std::vector<double>(12, std::nan(""))));
    RoofRows result = run(dry);
    EXPECT_FALSE(m_outcome.has_rain);
    EXPECT_FALSE(result.roof.harvest_mean_m3);
    EXPECT_FALSE(result.roof.runoff_coefficient);
    EXPECT_TRUE(result.curve.empty());
    EXPECT_EQ(to_text(result.roof.flags), "");
    m_roof.climate_place.rain = std::nullopt;
    result = run(mean_year(m_settings));
    EXPECT_FALSE(m_outcome.has_rain);
}

TEST_F(Water, APlaceJustOutsideTheGridTakesTheNearestCell) {
    m_roof.climate_place.rain = Point{1.2e4, 0.0};
    const RoofRow row = run(mean_year(m_settings)).roof;
    EXPECT_TRUE(row.flags.has(Flag::rain_filled));
    EXPECT_NEAR(row.fill_rain_mm.value(), 700.0, 1e-12);
    m_roof.climate_place.rain = Point{7.1e4, 0.0};  // over three cells from its centre
    static_cast<void>(run(mean_year(m_settings)));
    EXPECT_FALSE(m_outcome.has_rain);
}

TEST_F(Water, WithoutDemandNoStorageIsChosenAndTheHarvestStands) {
    m_parcel.facts.season_use_m3 = 0.0;
    const RoofRows result = run(mean_year(m_settings));
    EXPECT_TRUE(m_outcome.has_rain);
    EXPECT_FALSE(m_outcome.recommended);
    EXPECT_TRUE(result.roof.harvest_mean_m3);
    EXPECT_EQ(result.roof.demand_m3, 0.0);
    EXPECT_FALSE(result.roof.storage_m3);
    EXPECT_FALSE(result.roof.limited_by);
    EXPECT_EQ(result.curve.size(), 2U);
}

TEST_F(Water, ASmallRoofIsTheLimitAndThenTheTankIs) {
    m_settings.tanks = {{.volume_m3 = 5.0, .diameter_m = 1.8, .height_m = 2.0, .count = 1, .cost = {}}};
    EXPECT_EQ(run(mean_year(m_settings)).roof.limited_by, LimitedBy::tank);  // 4.75 m3 below 58.4 m3
    m_roof.plan_area_m2 = 5.0;                                               // 2.9 m3 of harvest
    EXPECT_EQ(run(mean_year(m_settings)).roof.limited_by, LimitedBy::roof);
}

}  // namespace
}  // namespace eaveshed
