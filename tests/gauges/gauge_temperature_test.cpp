#include "eaveshed/gauges/gauge_temperature.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "eaveshed/outside/gdal_crs.hpp"
#include "support/expect_error.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using testing::expect_input_error;
using ::testing::HasSubstr;
using ::testing::Not;
using testing::TempFolder;

class GaugeTemperaturesTest : public ::testing::Test {
protected:
    GaugeTemperatures open(const std::string& minima, const std::string& maxima = "", const std::string& places = "") {
        m_settings.minimum = {m_folder.write("low.csv", minima)};
        m_settings.maximum = maxima.empty() ? m_settings.minimum : std::vector{m_folder.write("high.csv", maxima)};
        m_settings.stations = places.empty() ? "" : m_folder.write("places.csv", places);
        VectorInfo footprints;
        footprints.crs = crs_from_text("EPSG:32610", "test");
        m_findings = {};
        return open_gauge_temperatures(m_settings, 4, &footprints, m_findings).value();
    }
    std::string told() const {
        std::string text;
        for (const Finding& finding : m_findings.list()) {
            text += finding.trouble.where + ": " + finding.trouble.found + "\n";
        }
        return text;
    }
    TempFolder m_folder;
    TemperatureSettings m_settings;
    Findings m_findings;
};

TEST_F(GaugeTemperaturesTest, AreMeansByMonthOverTheRecordInDegreesCelsius) {
    const GaugeTemperatures celsius =
        open("date,tmin_c,tmax_c\n1990-01-01,-2,6\n1990-01-02,4,8\n1991-01-01,1,\n1990-02-01,5,10\n");
    ASSERT_EQ(celsius.minimum_c.size(), 1U);
    EXPECT_EQ(celsius.minimum_c[0][0], 1.0);
    EXPECT_EQ(celsius.maximum_c[0][0], 7.0);
    EXPECT_EQ(celsius.maximum_c[0][1], 10.0);
    EXPECT_TRUE(std::isnan(celsius.minimum_c[0][2]));
    const GaugeTemperatures fahrenheit = open("date,TMIN (F),TMAX (F)\n1/14/1990,32,50\n");
    EXPECT_NEAR(fahrenheit.minimum_c[0][0], 0.0, 1e-12);
    EXPECT_NEAR(fahrenheit.maximum_c[0][0], 10.0, 1e-12);
}

TEST_F(GaugeTemperaturesTest, MayStandInTwoTablesWithAColumnAStation) {
    const GaugeTemperatures found =
        open("date,A [degC],B [degC],C [degC]\n1990-01-14,1,2,3\n", "date,B [degC],A [degC]\n1990-01-14,12,11\n",
             "id,x,y\nA,500000,4190000\nB,501000,4190000\nC,502000,4190000\n");
    ASSERT_EQ(found.info.stations.size(), 2U);
    EXPECT_EQ(found.info.stations[1].id, "B");
    EXPECT_EQ(found.minimum_c[1][0], 2.0);
    EXPECT_EQ(found.maximum_c[1][0], 12.0);
    EXPECT_THAT(told(), HasSubstr("gauges without maxima: C"));
    (void)open("date,A [degC],B [degC]\n1990-01-14,1,2\n", "date,B [degC],C [degC],A [degC]\n1990-01-14,12,13,11\n",
               "id,x,y\nA,500000,4190000\nB,501000,4190000\nC,502000,4190000\n");
    EXPECT_THAT(told(), HasSubstr("gauges without minima: C"));
}

TEST_F(GaugeTemperaturesTest, OfOneTableAreToldAndListedOnce) {
    const GaugeTemperatures found = open("date,tmin_c,tmax_c,fog\n1990-01-14,1,11,x\nend of the table,,,\n");
    EXPECT_EQ(found.info.files.size(), 1U);
    EXPECT_THAT(told(), HasSubstr("columns that are not used: fog\n"));
    EXPECT_THAT(told(), Not(HasSubstr("not used: tm")));
    EXPECT_EQ(m_findings.list().size(), 3U) << told();  // columns, words without data, no place
}

TEST_F(GaugeTemperaturesTest, MayBeTwelveMonths) {
    EXPECT_EQ(open("month,tmin_c,tmax_c\nJan,1,5\nFeb,2,6\n").maximum_c[0][1], 6.0);
}

TEST_F(GaugeTemperaturesTest, ColumnsMayBeNamedAndUnitsSet) {
    m_settings.minimum_column = "ln";
    m_settings.maximum_column = "hx";
    const std::string table = "date,ln,hx\n1990-01-14,273.15,283.15\n";
    expect_input_error([&] { (void)open(table); }, {"no unit", "set temperature.unit"});
    m_settings.unit = GaugeTemperatureUnit::kelvin;
    EXPECT_NEAR(open(table).maximum_c[0][0], 10.0, 1e-12);
    m_settings.unit = GaugeTemperatureUnit::celsius;
    expect_input_error([&] { (void)open(table); }, {"a monthly mean of 273", "correct temperature.unit"});
    m_settings = {};
    m_settings.unit = GaugeTemperatureUnit::kelvin;
    expect_input_error([&] { (void)open("date,tmin_c,tmax_c\n1990-01-14,1,2\n"); },
                       {"the unit \"c\"", "temperature.unit", "one of them"});
}

}  // namespace
}  // namespace eaveshed
