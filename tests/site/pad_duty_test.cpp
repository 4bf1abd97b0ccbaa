#include "eaveshed/site/pad_duty.hpp"

#include <gtest/gtest.h>

#include "eaveshed/tile/evaluate.hpp"
#include "site/tile_samples.hpp"

namespace eaveshed {
namespace {

// A pad whose tap is 3 m above the water at its reserve level, and whose gutter is 1.5 m too low.
PadRow pad_that_needs_both_pumps() {
    PadRow pad;
    pad.feed = FeedClass::pumped;
    pad.delivery = Delivery::pumped_fill;
    pad.static_head_m = -3.0;
    pad.friction_m = 0.25;
    pad.fill_margin_m = -1.5;
    return pad;
}

constexpr PadWater kWater{.forbearance_m3 = 4.0,
                          .harvest_mean_m3 = 60.0,
                          .overflow_mean_m3 = 50.0,
                          .storm = {.peak_lps = 2.0, .connected_lps = 1.5}};

TEST(PadDuty, IsWorkedByHand) {
    const Settings settings = two_options();
    const TileRules rules = rules_from(settings);
    PadRow pad = pad_that_needs_both_pumps();
    fill_pad_duty(rules.options.at(1), kWater, rules, pad);
    // (70 + 5) / 9.80665 + 3 + 0.25 = 10.89787 m; 9.80665 x 4 x 10.89787 / 3600 / 0.4 = 0.29687 kWh
    EXPECT_NEAR(*pad.feed_pump_head_m, 10.89787, 5e-6);
    EXPECT_NEAR(*pad.feed_pump_kwh, 0.29687, 5e-6);
    // 9.80665 x (60 - 50) x 1.5 / 3600 / 0.4 = 0.10215 kWh
    EXPECT_EQ(pad.fill_pump_lps, 1.5);
    EXPECT_EQ(pad.fill_pump_head_m, 1.5);
    EXPECT_NEAR(*pad.fill_pump_kwh, 0.10215, 5e-6);
    // Four tanks of 5 m3, of which 1.9 of 2 m stand above the outlet: 19 t on 4 x pi / 4 x 1.8^2 = 10.1788 m2:
    // 19 x 9.80665 / 10.1788 = 18.305 kPa
    EXPECT_DOUBLE_EQ(*pad.full_mass_t, 19.0);
    EXPECT_NEAR(*pad.bearing_kpa, 18.305, 5e-4);
    EXPECT_EQ(pad.overflow_peak_lps, 2.0);
}

TEST(PadDuty, WithoutAPumpSaysNothingOfPumps) {
    const Settings settings = two_options();
    const TileRules rules = rules_from(settings);
    for (const FeedClass feed : {FeedClass::gravity, FeedClass::low}) {
        PadRow pad = pad_that_needs_both_pumps();
        pad.feed = feed;
        pad.delivery = feed == FeedClass::gravity ? Delivery::gravity : Delivery::low_pressure;
        fill_pad_duty(rules.options.at(0), kWater, rules, pad);
        EXPECT_FALSE(pad.feed_pump_head_m || pad.feed_pump_kwh);
        EXPECT_FALSE(pad.fill_pump_lps || pad.fill_pump_head_m || pad.fill_pump_kwh);
        EXPECT_TRUE(pad.full_mass_t && pad.bearing_kpa && pad.overflow_peak_lps);
    }
}

TEST(PadDuty, MoreStorageNeverWeighsLess) {
    const Settings settings = two_options();
    const TileRules rules = rules_from(settings);
    double last = 0.0;
    for (const StorageOption& option : rules.options) {
        PadRow pad = pad_that_needs_both_pumps();
        fill_pad_duty(option, kWater, rules, pad);
        EXPECT_GT(*pad.full_mass_t, last);
        last = *pad.full_mass_t;
    }
}

TEST(PadDuty, OfAStormIsThatOfEveryRoofTogether) {
    const Settings settings = two_options();
    const TileRules rules = rules_from(settings);
    RoofRow roof;
    roof.plan_area_m2 = 120.0;
    roof.runoff_coefficient = 0.9;
    roof.connected_share = 0.75;
    // 0.9 x 75 x 120 / 3600 = 2.25 L/s, 0.75 of it through the downspouts
    EXPECT_DOUBLE_EQ(storm_of(roof, rules).peak_lps, 2.25);
    EXPECT_DOUBLE_EQ(storm_of(roof, rules).connected_lps, 1.6875);
}

// Columns of rows as a tile gives them: two roofs on one parcel.
TEST(PadDuty, OfAParcelIsThatOfItsConnectedRoofs) {
    Settings settings = two_options();
    settings.siting.minimum_kpa = 1.0;
    TileParcel parcel = parcel_with_measured_use();
    parcel.outline = testing::rectangle(40.0, 60.0, 120.0, 90.0);
    const std::vector<TileRoof> roofs{roof_at(60.0, 100.0, 0), roof_at(75.0, 100.0, 1)};
    const TileInput tile = tile_with({{parcel, roofs}}, mean_year(settings));
    const TileRows rows = evaluate_tile(tile, settings);
    const ParcelRows& found = rows.parcels.at(0);
    ASSERT_TRUE(found.pad);
    double peak = 0.0;
    for (const RoofRows& roof : rows.roofs) {
        ASSERT_TRUE(roof.pad && roof.pad->overflow_peak_lps);
        // 0.92 x 75 x 100 / 3600
        EXPECT_NEAR(*roof.pad->overflow_peak_lps, 1.9167, 5e-5);
        peak += roof.connected ? *roof.pad->overflow_peak_lps : 0.0;
    }
    EXPECT_DOUBLE_EQ(*found.pad->overflow_peak_lps, peak);
    EXPECT_DOUBLE_EQ(*found.pad->full_mass_t, *found.parcel.usable_m3);
    EXPECT_EQ(found.pad->feed_pump_head_m.has_value(), found.pad->feed == FeedClass::pumped);
}

}  // namespace
}  // namespace eaveshed
