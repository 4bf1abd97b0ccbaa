// From temperatures and aquifers to litres: the summer take by published numbers, through the whole of a roof.
#include <gtest/gtest.h>

#include <cmath>
#include <utility>

#include "eaveshed/tile/evaluate.hpp"
#include "site/tile_samples.hpp"

namespace eaveshed {
namespace {

class DemandPath : public ::testing::Test {
protected:
    DemandPath() : m_settings(two_options()) {
        m_settings.demand.home_share = 0.0;  // the garden alone
        m_parcel.facts.people = 2.0;
        m_parcel.facts.irrigated_area_m2 = 100.0;
        m_roof.climate_place.minimum_temperature = m_roof.climate_place.maximum_temperature = m_roof.climate_place.et0 =
            m_roof.interior;
    }
    [[nodiscard]] RoofRow row(Et0Basis et0) const {
        const Timeline timeline = make_normals_timeline(m_settings.season_months());
        std::vector<double> rain;
        for (const Step& step : timeline.steps) {
            rain.push_back(step.month >= 11 || step.month <= 4 ? 100.0 : 0.0);
        }
        const RoofClimate climate = climate_of(MeanYear(timeline), one_cell(rain), std::move(et0));
        return evaluate_tile(tile_with({{m_parcel, {m_roof}}}, climate), m_settings).roofs.at(0).roof;
    }

    Settings m_settings;
    TileParcel m_parcel;
    TileRoof m_roof = roof_at(100, 100);
};

// R4.6 (derived): 100 m2, Kc 1.0, ET0 5.0, 4.0 and 2.5 mm/day in August, September and October, efficiency 0.90, no
// rain: 17,222 + 13,333 + 8,611 = 39,167 L.
TEST_F(DemandPath, AGardensSeasonByEt0OfThreeMonths) {
    m_settings.demand.crop_coefficient = 1.0;
    m_settings.demand.irrigation_efficiency = 0.90;
    const RoofRow found = row(Et0Field{one_cell({1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 5.0, 4.0, 2.5, 1.0, 1.0})});
    EXPECT_NEAR(found.demand_m3.value(), 39.167, 0.0005);
    EXPECT_FALSE(found.flags.has(Flag::default_et0));
}

// FAO-56 example 20 (R4.3, printed figure from memory): Lyon, 45 degrees 43 minutes north, July; mean daily minimum
// 14.8 and maximum 26.6 C give 5.0 mm/day. With Kc 0.95 for cool-season turf (R4.5, table 12, read in a transcription)
// and the 90 % of drip lines (R4.7, FAO training manual 4, memory), 100 m2 in the 31 days of July take
// 100 x 0.95 x 5.0 x 31 / 0.9 = 16,361 L; the printed 5.0 stands for 4.95 to 5.05.
TEST_F(DemandPath, AGardensJulyByTheTemperaturesOfExample20) {
    m_settings.demand.crop_coefficient = 0.95;
    m_settings.demand.irrigation_efficiency = 0.90;
    m_settings.season.fill_months = {11, 12, 1, 2, 3, 4, 5};
    m_settings.season.forbear_months = {7};
    m_roof.latitude_deg = 45.0 + 43.0 / 60.0;
    std::vector<double> minimum(12, -5.0);  // another month's temperatures would be seen
    std::vector<double> maximum(12, 2.0);
    minimum[6] = 14.8;
    maximum[6] = 26.6;
    const RoofRow found = row(TemperatureFields{one_cell(minimum), one_cell(maximum)});
    EXPECT_NEAR(found.demand_m3.value(), 16.361, 16.361 * 0.05 / 5.0);
    // The example reads a radiation of 40.6 MJ/m2 from FAO's table by latitude and month, which gives 5.0387 mm/day in
    // full; FAO's own equations 21 to 25 give 40.45 MJ/m2 on July's middle day, 197, which is 0.4 % less.
    EXPECT_NEAR(found.demand_m3.value(), 100.0 * 0.95 * 5.0387 * 31.0 / 0.9 / 1000.0, 0.005 * 16.488);
    // Derived from these equations apart from this program: 40.44621 MJ/m2, 5.019582 mm/day, 16.425187 m3.
    EXPECT_NEAR(found.demand_m3.value(), 16.425187, 1e-6);
    EXPECT_FALSE(found.flags.has(Flag::default_et0));
}

// R4.9 (derived): 4 people at 55 US gallons a day for 92 days are 76.617 m3; here all of it is roof water's to serve.
TEST_F(DemandPath, AHomesSeasonByPeople) {
    m_settings.demand.home_share = 1.0;
    m_settings.demand.litres_per_person_day = 55.0 * 3.785411784;
    m_parcel.facts.people = 4.0;
    m_parcel.facts.irrigated_area_m2 = 0.0;
    EXPECT_NEAR(row(AssumedEt0{}).demand_m3.value(), 76.617, 0.0005);
}

// Jenkins 1968, USGS Techniques of Water-Resources Investigations 4-D1, table 1: v/Qt at t / (d2 S / T). The season of
// August to October is 92 days: d2 S / T = 46, 92 and 184 days stand for the table's 2.0, 1.0 and 0.50.
TEST_F(DemandPath, AShallowWellsShareOfTheStreamGainIsJenkinssTable) {
    m_settings.demand.transmissivity_m2_day = 100.0;
    m_settings.demand.storage_coefficient = 0.2;
    m_parcel.facts.water_source = "shallow_well";
    struct Line {
        double factor_days;
        double volume_share;
    };
    for (const Line line : {Line{46.0, 0.419}, Line{92.0, 0.280}, Line{184.0, 0.151}}) {
        m_parcel.facts.stream_distance_m = std::sqrt(line.factor_days * 100.0 / 0.2);
        const RoofRow found = row(AssumedEt0{});
        ASSERT_GT(found.forbearance_lps.value(), 0.0);
        EXPECT_NEAR(found.instream_gain_lps.value() / found.forbearance_lps.value(), line.volume_share, 0.0006);
    }
}

}  // namespace
}  // namespace eaveshed
