#include "eaveshed/site/rules.hpp"

#include <gtest/gtest.h>

#include "site/tile_samples.hpp"

namespace eaveshed {
namespace {

TEST(Rules, OptionsAscendByNominalVolumeThenCount) {
    Settings settings;
    settings.tanks = {{.volume_m3 = 10.0, .diameter_m = 2.0, .height_m = 2.0, .count = 2, .cost = {}},
                      {.volume_m3 = 20.0, .diameter_m = 3.0, .height_m = 2.5, .count = 1, .cost = {}},
                      {.volume_m3 = 1.0, .diameter_m = 1.0, .height_m = 1.0, .count = 3, .cost = {}}};
    const TileRules rules = rules_from(settings);
    ASSERT_EQ(rules.options.size(), 3U);
    EXPECT_EQ(rules.options[0].nominal_m3, 3.0);
    EXPECT_EQ(rules.options[1].tank.count, 1);
    EXPECT_EQ(rules.options[2].tank.count, 2);
    // method.md 5.2: usable = nominal (1 - outlet height / height), outlet 0.1 m.
    EXPECT_NEAR(rules.options[0].usable_m3, 2.7, 1e-12);
    EXPECT_NEAR(rules.options[1].usable_m3, 19.2, 1e-12);
    EXPECT_EQ(rules.settings, &settings);
}

TEST(Rules, OptionsNoLargerThanTheReserveAreLeftOut) {
    Settings settings = two_options();
    settings.storage.reserve_m3 = 4.75;  // the usable volume of one tank, exactly
    ASSERT_EQ(rules_from(settings).options.size(), 1U);
    EXPECT_EQ(rules_from(settings).options[0].tank.count, 4);
    settings.storage.reserve_m3 = 4.7499;
    EXPECT_EQ(rules_from(settings).options.size(), 2U);
    settings.storage.reserve_m3 = 100.0;
    EXPECT_TRUE(rules_from(settings).options.empty());
}

TEST(Rules, TheReserveStandsAboveTheOutlet) {
    Settings settings = two_options();
    settings.storage.reserve_m3 = 1.9;
    const TileRules rules = rules_from(settings);
    const Tanks tanks = tanks_of(rules.options.back(), settings);
    EXPECT_NEAR(tanks.reserve_depth_m, 1.9 / 19.0 * 1.9, 1e-12);  // R / V x (h - outlet height)
    EXPECT_EQ(tanks.count, 4);
    EXPECT_EQ(tanks.height_m, 2.0);
    EXPECT_EQ(tanks.diameter_m, 1.8);
}

TEST(Rules, WordsOfTheSettingsBecomeTheModulesOwn) {
    Settings settings;
    EXPECT_EQ(rules_from(settings).store_rule, StoreRule::after_spillage);
    settings.storage.rule = StoreRule::before_spillage;
    EXPECT_EQ(rules_from(settings).store_rule, StoreRule::before_spillage);
    for (const EaveFrom word : {EaveFrom::low, EaveFrom::mid, EaveFrom::high}) {
        settings.siting.eave_from = word;
        EXPECT_EQ(rules_from(settings).eave.ground, word);
    }
    EXPECT_FALSE(rules_from(settings).eave.surface_is_height);
    settings.terrain.surface_kind = SurfaceKind::height;
    EXPECT_TRUE(rules_from(settings).eave.surface_is_height);
}

TEST(Rules, EachNumberGoesWhereItBelongs) {
    Settings settings;
    SitingSettings& siting = settings.siting;
    double next = 0.0;
    for (double* const value :
         {&siting.storey_height_m, &siting.default_eave_height_m, &siting.eave_sd_field_m, &siting.eave_sd_surface_m,
          &siting.eave_sd_storeys_m, &siting.eave_sd_default_m, &siting.tap_height_m, &siting.outlet_height_m,
          &siting.minimum_kpa, &siting.filter_loss_kpa, &siting.fill_loss_m}) {
        *value = (next += 0.01);
    }
    const TileRules rules = rules_from(settings);
    EXPECT_EQ(rules.eave.storey_height_m, siting.storey_height_m);
    EXPECT_EQ(rules.eave.standard_height_m, siting.default_eave_height_m);
    EXPECT_EQ(rules.eave.sd_field_m, siting.eave_sd_field_m);
    EXPECT_EQ(rules.eave.sd_surface_m, siting.eave_sd_surface_m);
    EXPECT_EQ(rules.eave.sd_storeys_m, siting.eave_sd_storeys_m);
    EXPECT_EQ(rules.eave.sd_standard_m, siting.eave_sd_default_m);
    EXPECT_EQ(rules.window.tap_height_m, siting.tap_height_m);
    EXPECT_EQ(rules.window.outlet_height_m, siting.outlet_height_m);
    EXPECT_EQ(rules.window.minimum_kpa, siting.minimum_kpa);
    EXPECT_EQ(rules.window.filter_loss_kpa, siting.filter_loss_kpa);
    EXPECT_EQ(rules.window.fill_loss_m, siting.fill_loss_m);
    EXPECT_TRUE(rules.season.fill.has(11));
    EXPECT_EQ(rules.season.first_month, 11);
}

}  // namespace
}  // namespace eaveshed
