// Records of real stations, where the shared data folder is there. Attribution of the data stands in that folder.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "eaveshed/gauges/gauge_rain.hpp"
#include "eaveshed/outside/gdal_crs.hpp"
#include "support/shared_data.hpp"

namespace eaveshed {
namespace {

struct RealGauge {
    GaugeRain rain;
    Findings findings;
};

RealGauge opened(const std::filesystem::path& table) {
    RainSettings settings;
    settings.source = {table.string()};
    settings.kind = RainKind::daily;
    VectorInfo footprints;
    footprints.crs = crs_from_text("EPSG:26910", "test");
    RealGauge found;
    found.rain = open_gauge_rain(settings, Season{}, &footprints, found.findings).value();
    return found;
}

// Depth of a mean month: the mean of its days times its length in a mean year.
std::array<double, 12> month_sums(const GaugeRain& rain) {
    std::array<double, 12> sums{};
    std::array<double, 12> days{};
    for (std::size_t step = 0; step < rain.depths_mm.at(0).size(); ++step) {
        if (!std::isnan(rain.depths_mm[0][step])) {
            const auto month = static_cast<std::size_t>(rain.info.timeline.steps[step].month - 1);
            sums.at(month) += rain.depths_mm[0][step];
            days.at(month) += 1.0;
        }
    }
    for (std::size_t month = 0; month < sums.size(); ++month) {
        sums.at(month) *= mean_year_days(static_cast<int>(month) + 1) / days.at(month);
    }
    return sums;
}

// Source of the means: the README beside the table.
TEST(RealGauge, OfVancouverHasTheMeansThatItsReadmeGives) {
    EAVESHED_SHARED_OR_SKIP(table, "data/vancouver_ca/rain_daily_1950_2013_ahccd_vancouver.csv");
    const auto [rain, findings] = opened(table);
    EXPECT_EQ(rain.info.timeline.steps.size(), 23360U);
    EXPECT_EQ(rain.info.timeline.calendar, Calendar::noleap);
    EXPECT_EQ(rain.info.timeline.first, (Date{1950, 1, 1}));
    EXPECT_EQ(rain.info.unit, RainUnit::mm);
    ASSERT_EQ(rain.info.gauges->stations.size(), 1U);
    const GaugeStation& station = rain.info.gauges->stations[0];
    EXPECT_EQ(std::lround(station.missing_share * 23360.0), 202);
    EXPECT_EQ(station.last, (Date{2013, 6, 12}));  // all 202 days without a value are the last
    constexpr std::array<int, 12> kReadme{167, 116, 116, 81, 63, 54, 37, 42, 64, 126, 176, 180};
    const std::array<double, 12> sums = month_sums(rain);
    for (std::size_t month = 0; month < sums.size(); ++month) {
        EXPECT_EQ(std::lround(sums.at(month)), kReadme.at(month)) << month + 1;
    }
    EXPECT_NEAR(station.mean_year_mm.value(), 1220.0, 1.0);  // the sum of the README's means is 1222
}

// Source: the README beside the table: 13,476 days, the last 22 without rain, about 762 mm a year.
TEST(RealGauge, OfTheNetherlandsHasTheTotalThatItsReadmeGives) {
    EAVESHED_SHARED_OR_SKIP(table, "data/reference/daily/knmi_nb1_rain_evap_daily.csv");
    const auto [rain, findings] = opened(table);
    EXPECT_EQ(rain.info.timeline.steps.size(), 13476U);
    EXPECT_EQ(rain.info.timeline.calendar, Calendar::standard);
    const GaugeStation& station = rain.info.gauges->stations.at(0);
    EXPECT_EQ(station.first, (Date{1980, 1, 1}));
    EXPECT_EQ(station.last, (Date{2016, 10, 31}));
    EXPECT_NEAR(station.mean_year_mm.value(), 762.0, 2.0);
    EXPECT_EQ(std::lround(station.missing_share * 13476.0), 22);
}

}  // namespace
}  // namespace eaveshed
