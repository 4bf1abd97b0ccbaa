// method.md 8.7, scenarios: the store run again in another climate, with storage and pad as chosen.
#include "eaveshed/parcel/scenarios.hpp"

#include <gtest/gtest.h>

#include "eaveshed/tile/evaluate.hpp"
#include "site/tile_samples.hpp"

namespace eaveshed {
namespace {

std::vector<double> years(double factor) {
    std::vector<double> depths{90.0, 120.0, 60.0, 150.0, 200.0, 75.0, 110.0, 95.0, 130.0, 170.0, 85.0, 140.0};
    for (double& depth : depths) {
        depth *= factor;
    }
    return depths;
}

class Scenarios : public ::testing::Test {
protected:
    Scenarios() {
        m_settings.tanks.resize(1);  // one option, so that no climate changes the choice
        m_parcel.outline = testing::rectangle(40.0, 60.0, 120.0, 90.0);
    }
    TileRows run(double rain, bool with_parcel = true) const {
        const RoofClimate climate = november_rains(m_settings, years(rain));
        TileSite site;
        if (with_parcel) {
            site.parcel = m_parcel;
        }
        site.roofs = {roof_at(100, 100, 0), roof_at(112, 100, 1)};
        if (!with_parcel) {
            site.roofs.pop_back();
        }
        return evaluate_tile(tile_with({site}, climate), m_settings);
    }
    void add(const std::string& name, double rain, double et0) {
        ScenarioSettings scenario{.name = name};
        scenario.rain_factor.fill(rain);
        scenario.et0_factor.fill(et0);
        m_settings.scenarios.push_back(scenario);
    }
    Settings m_settings = two_options();
    TileParcel m_parcel = parcel_with_measured_use();
};

TEST_F(Scenarios, FactorsOfOneChangeNothing) {
    add("as it is", 1.0, 1.0);
    const TileRows result = run(1.0);
    const ParcelRow& parcel = result.parcels.at(0).parcel;
    ASSERT_EQ(result.parcels[0].scenarios.size(), 1U);
    const ScenarioRow& row = result.parcels[0].scenarios[0];
    EXPECT_EQ(row.harvest_mean_m3, parcel.harvest_mean_m3);
    EXPECT_EQ(row.harvest_dependable_m3, parcel.harvest_dependable_m3);
    EXPECT_EQ(row.forbearance_m3, parcel.forbearance_m3);
    EXPECT_EQ(row.forbearance_now_m3, parcel.forbearance_m3);
    EXPECT_EQ(row.replaced_worst_m3, parcel.replaced_worst_m3);
    EXPECT_EQ(row.instream_gain_lps, parcel.instream_gain_lps);
    EXPECT_EQ(row.added_forbearance_m3, parcel.added_forbearance_m3);
    EXPECT_EQ(row.added_gain_lps, parcel.added_gain_lps);
    EXPECT_EQ(row.season_reliability, parcel.season_reliability);
    EXPECT_NEAR(row.demand_m3.value(), parcel.demand_m3.value(), 1e-12);
}

TEST_F(Scenarios, HalfTheRainIsARecordOfHalfTheRain) {
    add("dry", 0.5, 1.0);
    const ScenarioRow dry = run(1.0).parcels.at(0).scenarios.at(0);
    m_settings.scenarios.clear();
    const ParcelRow half = run(0.5).parcels.at(0).parcel;
    EXPECT_EQ(dry.harvest_mean_m3, half.harvest_mean_m3);
    EXPECT_EQ(dry.harvest_dependable_m3, half.harvest_dependable_m3);
    EXPECT_EQ(dry.replaced_mean_m3, half.replaced_mean_m3);
    EXPECT_EQ(dry.forbearance_m3, half.forbearance_m3);
    EXPECT_LT(*dry.harvest_mean_m3, *run(1.0).parcels.at(0).parcel.harvest_mean_m3);
}

// With storage already there: what that replaces by itself is run in the scenario's climate too.
TEST_F(Scenarios, AddedIsWhatARecordOfThatClimateGives) {
    m_parcel.facts.existing_storage_m3 = 3.0;
    add("dry", 0.5, 1.0);
    const TileRows now = run(1.0);
    const ScenarioRow dry = now.parcels.at(0).scenarios.at(0);
    m_settings.scenarios.clear();
    const ParcelRow half = run(0.5).parcels.at(0).parcel;
    EXPECT_EQ(dry.added_forbearance_m3, half.added_forbearance_m3);
    EXPECT_EQ(dry.added_gain_lps, half.added_gain_lps);
    EXPECT_GT(dry.added_forbearance_m3, 0.0);
    EXPECT_LT(dry.added_forbearance_m3, dry.forbearance_m3);
}

TEST_F(Scenarios, ThirstierGardensAskForMore) {
    m_parcel.facts.season_use_m3.reset();
    add("hot", 1.0, 1.5);
    const TileRows result = run(1.0);
    EXPECT_GT(result.parcels.at(0).scenarios.at(0).demand_m3, result.parcels[0].parcel.demand_m3);
}

TEST_F(Scenarios, ARoofInNoParcelHasItsOwnAndRoofsOfParcelsHaveNone) {
    add("dry", 0.5, 1.0);
    const TileRows alone = run(1.0, false);
    ASSERT_EQ(alone.roofs.at(0).scenarios.size(), 1U);
    EXPECT_EQ(alone.roofs[0].scenarios[0].forbearance_now_m3, alone.roofs[0].roof.forbearance_m3);
    EXPECT_LE(alone.roofs[0].scenarios[0].forbearance_m3, alone.roofs[0].roof.forbearance_m3);
    for (const RoofRows& roof : run(1.0).roofs) {
        EXPECT_TRUE(roof.scenarios.empty());
    }
}

}  // namespace
}  // namespace eaveshed
