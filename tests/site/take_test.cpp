#include "eaveshed/site/take.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "eaveshed/demand/evapotranspiration.hpp"
#include "eaveshed/demand/source_share.hpp"
#include "site/tile_samples.hpp"

namespace eaveshed {
namespace {

class TakeOf : public ::testing::Test {
protected:
    TakeOf() : m_climate(mean_year(m_settings)) {}
    [[nodiscard]] Take take(const TileParcel* parcel) const {
        return summer_take(m_roof, parcel, m_climate, m_settings, m_settings.season_months());
    }
    Settings m_settings;
    RoofClimate m_climate;
    TileRoof m_roof = roof_at(0, 0);
};

TEST_F(TakeOf, ARoofWithoutAParcelTakesTheDefaults) {
    const Take found = take(nullptr);
    EXPECT_EQ(found.demand.people, 2.5);
    EXPECT_EQ(found.demand.garden_m2, 200.0);
    EXPECT_EQ(found.demand.litres_per_person_day, 190.0);
    EXPECT_EQ(found.demand.home_share, 0.3);
    EXPECT_EQ(found.demand.crop_coefficient, 0.8);
    EXPECT_EQ(found.demand.irrigation_efficiency, 0.85);
    EXPECT_EQ(found.demand.rain_effectiveness, 0.75);
    EXPECT_EQ(found.demand.soil_store_mm, 25.0);
    EXPECT_EQ(found.source_share, 0.0);
    Flags expected;
    expected.add(Flag::default_demand);
    expected.add(Flag::default_et0);
    expected.add(Flag::unknown_source);
    EXPECT_EQ(to_text(found.flags), to_text(expected));
}

TEST_F(TakeOf, DemandIsFromDataOnlyWithPeopleAndGardenOrMeasuredUse) {
    const auto is_default = [&](std::optional<double> people, std::optional<double> garden, std::optional<double> use) {
        TileParcel parcel;
        parcel.facts.people = people;
        parcel.facts.irrigated_area_m2 = garden;
        parcel.facts.season_use_m3 = use;
        return take(&parcel).flags.has(Flag::default_demand);
    };
    EXPECT_FALSE(is_default(3, 100, {}));
    EXPECT_FALSE(is_default(0, 0, {}));  // nobody lives there: data, too
    EXPECT_FALSE(is_default({}, {}, 30));
    EXPECT_FALSE(is_default({}, {}, 0));
    EXPECT_TRUE(is_default(3, {}, {}));
    EXPECT_TRUE(is_default({}, 100, {}));
    EXPECT_TRUE(is_default(-1, 100, {}));
    EXPECT_TRUE(is_default(3, -1, {}));
    EXPECT_TRUE(is_default({}, {}, -1));
}

TEST_F(TakeOf, TheParcelsOwnNumbersWin) {
    TileParcel parcel;
    parcel.facts.people = 4.0;
    Take found = take(&parcel);
    EXPECT_EQ(found.demand.people, 4.0);
    EXPECT_EQ(found.demand.garden_m2, 200.0);
    EXPECT_FALSE(found.demand.season_use_m3);
    parcel.facts.irrigated_area_m2 = 50.0;
    parcel.facts.season_use_m3 = 33.0;
    found = take(&parcel);
    EXPECT_EQ(found.demand.garden_m2, 50.0);
    EXPECT_EQ(found.demand.season_use_m3, 33.0);
}

TEST_F(TakeOf, Et0IsTheRastersWhereItHasAValue) {
    m_climate = mean_year(m_settings, Et0Field{one_cell({1, 2, 3, 4, 5, std::nan(""), 7, 6, 5, 4, 3, 2})});
    m_roof.climate_place.et0 = m_roof.interior;
    const Take found = take(nullptr);
    EXPECT_EQ(found.demand.et0_mm_day[0], 1.0);
    EXPECT_EQ(found.demand.et0_mm_day[7], 6.0);
    EXPECT_EQ(found.demand.et0_mm_day[5], 5.0);  // demand.et0_mm_day
    EXPECT_TRUE(found.flags.has(Flag::default_et0));
    m_climate = mean_year(m_settings, Et0Field{one_cell(std::vector<double>(12, 4.5))});
    EXPECT_FALSE(take(nullptr).flags.has(Flag::default_et0));
    m_roof.climate_place.et0 = std::nullopt;  // the place has no way to the raster's CRS
    EXPECT_TRUE(take(nullptr).flags.has(Flag::default_et0));
    EXPECT_EQ(take(nullptr).demand.et0_mm_day[0], 5.0);
}

TEST_F(TakeOf, TemperaturesGiveEt0ByHargreavesAtTheRoofsLatitude) {
    m_climate = mean_year(m_settings, TemperatureFields{one_cell(std::vector<double>(12, 10.0)),
                                                        one_cell(std::vector<double>(12, 26.0))});
    m_roof.climate_place.minimum_temperature = m_roof.interior;
    m_roof.climate_place.maximum_temperature = m_roof.interior;
    m_roof.latitude_deg = -34.0;
    const Take found = take(nullptr);
    EXPECT_FALSE(found.flags.has(Flag::default_et0));
    // FAO-56 eq. 52: 0.0023 (mean + 17.8) sqrt(range) x 0.408 Ra; January: J = 15 (table 2.5).
    const double radiation = extraterrestrial_radiation_mj(-34.0, 15);
    EXPECT_NEAR(found.demand.et0_mm_day[0], 0.0023 * (18.0 + 17.8) * 4.0 * 0.408 * radiation, 1e-9);
    EXPECT_GT(found.demand.et0_mm_day[0], found.demand.et0_mm_day[6]);  // southern summer
}

TEST_F(TakeOf, EverySourceHasItsShare) {
    for (const auto& [word, share] : {std::pair{"creek", 1.0},
                                      {"spring", 1.0},
                                      {"shallow_well", 0.5},
                                      {"deep_well", 0.0},
                                      {"mains", 0.0},
                                      {"unknown", 0.0}}) {
        TileParcel parcel;
        parcel.facts.water_source = word;
        const Take found = take(&parcel);
        EXPECT_EQ(found.source_share, share) << word;
        EXPECT_EQ(found.flags.has(Flag::unknown_source), std::string(word) == "unknown") << word;
        EXPECT_EQ(found.flags.has(Flag::assumed_share), std::string(word) == "shallow_well") << word;
    }
}

TEST_F(TakeOf, AWordThatIsNoSourceIsUnknownAndAMissingOneIsTheDefault) {
    m_settings.parcels.default_water_source = WaterSource::creek;
    TileParcel parcel;
    EXPECT_EQ(take(&parcel).source_share, 1.0);
    parcel.facts.water_source = "";
    EXPECT_EQ(take(&parcel).source_share, 1.0);
    parcel.facts.water_source = "Creek";
    EXPECT_EQ(take(&parcel).source_share, 0.0);
    EXPECT_TRUE(take(&parcel).flags.has(Flag::unknown_source));
    EXPECT_TRUE(take(nullptr).flags.has(Flag::unknown_source));  // no parcel: the default is of parcels
}

TEST_F(TakeOf, ANumericShareOverridesTheSource) {
    TileParcel parcel;
    parcel.facts.water_source = "mains";
    parcel.facts.source_share = 0.4;
    EXPECT_EQ(take(&parcel).source_share, 0.4);
    parcel.facts.water_source = std::nullopt;
    EXPECT_FALSE(take(&parcel).flags.has(Flag::unknown_source));
    parcel.facts.water_source = "shallow_well";
    EXPECT_EQ(take(&parcel).source_share, 0.4);
    EXPECT_FALSE(take(&parcel).flags.has(Flag::assumed_share));
    parcel.facts.water_source = std::nullopt;
    parcel.facts.source_share = 1.4;  // no share
    EXPECT_EQ(take(&parcel).source_share, 0.0);
    EXPECT_TRUE(take(&parcel).flags.has(Flag::unknown_source));
}

TEST_F(TakeOf, AShallowWellOfAKnownAquiferTakesTheShareOfJenkins) {
    m_settings.demand.transmissivity_m2_day = 60.0;
    m_settings.demand.storage_coefficient = 0.12;
    TileParcel parcel;
    parcel.facts.water_source = "shallow_well";
    parcel.facts.stream_distance_m = 150.0;
    // August to October: 92 days.
    EXPECT_EQ(take(&parcel).source_share, stream_depletion_share(150.0, 60.0, 0.12, 92.0));
    EXPECT_GT(take(&parcel).source_share, 0.0);
    EXPECT_LT(take(&parcel).source_share, 1.0);
    EXPECT_FALSE(take(&parcel).flags.has(Flag::assumed_share));
    parcel.facts.stream_distance_m = std::nullopt;
    m_settings.demand.shallow_well_share = 0.3;
    EXPECT_EQ(take(&parcel).source_share, 0.3);
    EXPECT_TRUE(take(&parcel).flags.has(Flag::assumed_share));
}

// A parcel of 520 m2 with roofs of 260 and 100 m2 leaves 160 m2, less than the 200 m2 of the setting.
TEST_F(TakeOf, TheDefaultGardenIsAtMostTheGroundThatNoRoofCovers) {
    TileParcel parcel;
    parcel.open_ground_m2 = 160.0;
    Take found = take(&parcel);
    EXPECT_EQ(found.demand.garden_m2, 160.0);
    EXPECT_TRUE(found.garden_capped);
    EXPECT_TRUE(found.flags.has(Flag::default_demand));
    parcel.open_ground_m2 = 0.0;
    EXPECT_EQ(take(&parcel).demand.garden_m2, 0.0);
    parcel.open_ground_m2 = 200.0;
    EXPECT_FALSE(take(&parcel).garden_capped);
    parcel.open_ground_m2 = 5000.0;
    found = take(&parcel);
    EXPECT_EQ(found.demand.garden_m2, 200.0);
    EXPECT_FALSE(found.garden_capped);
}

TEST_F(TakeOf, AGardenFromTheDataStandsAsItIsAndAParcelWithoutAreaCapsNothing) {
    TileParcel parcel;
    parcel.open_ground_m2 = 160.0;
    parcel.facts.irrigated_area_m2 = 900.0;
    EXPECT_EQ(take(&parcel).demand.garden_m2, 900.0);
    EXPECT_FALSE(take(&parcel).garden_capped);
    parcel.facts.irrigated_area_m2 = 0.0;
    EXPECT_EQ(take(&parcel).demand.garden_m2, 0.0);
    EXPECT_EQ(take(nullptr).demand.garden_m2, 200.0);
    const TileParcel shapeless;
    EXPECT_EQ(take(&shapeless).demand.garden_m2, 200.0);
}

TEST(OpenGround, IsTheParcelLessTheRoofsThatCoverIt) {
    const auto roof = [](double area_m2, Status status) {
        TileRoof made;
        made.plan_area_m2 = area_m2;
        made.status = status;
        return made;
    };
    std::vector<TileRoof> roofs{roof(260.0, Status::ok), roof(100.0, Status::ok)};
    EXPECT_EQ(open_ground_m2(520.0, roofs), 160.0);
    roofs.push_back(roof(12.0, Status::too_small));  // a shed covers ground, too
    EXPECT_EQ(open_ground_m2(520.0, roofs), 148.0);
    roofs.push_back(roof(48.0, Status::no_rain));
    EXPECT_EQ(open_ground_m2(520.0, roofs), 100.0);
    roofs.push_back(roof(260.0, Status::duplicate));
    roofs.push_back(roof(33.0, Status::bad_geometry));
    EXPECT_EQ(open_ground_m2(520.0, roofs), 100.0);
    EXPECT_EQ(open_ground_m2(300.0, roofs), 0.0);
    EXPECT_EQ(open_ground_m2(520.0, {}), 520.0);
    EXPECT_EQ(open_ground_m2(std::nullopt, roofs), std::nullopt);
    EXPECT_EQ(open_ground_m2(0.0, roofs), std::nullopt);
}

}  // namespace
}  // namespace eaveshed
