#include "eaveshed/gauges/gauge_rows.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "support/expect_error.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using ::testing::ElementsAre;
using testing::expect_input_error;
using ::testing::HasSubstr;
using testing::TempFolder;

class GaugeRowsTest : public ::testing::Test {
protected:
    GaugeRows read(const std::string& text, GaugeWish wish = {}) {
        wish.setting = "rain.source";
        wish.columns_setting = "rain.columns";
        m_findings = {};
        return read_gauge_rows(wish, m_folder.write("t.csv", text), m_findings);
    }
    // Values with "-" for missing.
    std::string values(const std::string& text, const GaugeWish& wish = {}) {
        std::string all;
        for (const double value : read(text, wish).values) {
            all += std::isnan(value) ? "- " : std::to_string(value).substr(0, 4) + " ";
        }
        return all;
    }
    std::string findings(Severity severity) const {
        std::string all;
        for (const Finding& finding : m_findings.list()) {
            all += finding.severity == severity ? to_text(finding.trouble) + "\n" : "";
        }
        return all;
    }

    TempFolder m_folder;
    Findings m_findings;
};

TEST_F(GaugeRowsTest, OneColumnOfValuesIsOneStationNamedByIt) {
    const GaugeRows rows = read("date,precip_mm,tmax_c\n1950-01-01,1.14,-1.1\n1950-01-02,,3\n");
    EXPECT_THAT(rows.ids, ElementsAre("precip"));
    EXPECT_EQ(rows.unit, "mm");
    EXPECT_EQ(rows.width(), 1U);
    ASSERT_EQ(rows.rows.size(), 2U);
    EXPECT_EQ(rows.rows[0].date.day, 1);
    EXPECT_EQ(rows.rows[1].line, 3U);
    EXPECT_EQ(rows.values[0], 1.14);
    EXPECT_TRUE(std::isnan(rows.values[1]));
    EXPECT_THAT(rows.unused, ElementsAre("tmax_c"));
}

TEST_F(GaugeRowsTest, AColumnAStationComesInTheOrderOfTheIds) {
    const GaugeRows rows = read("Date;West [mm];East [mm]\n14.03.1990;1,5;2\n15.03.1990;;0,25\n");
    EXPECT_THAT(rows.ids, ElementsAre("East", "West"));
    EXPECT_EQ(rows.unit, "mm");
    EXPECT_THAT(std::vector<double>(rows.values.begin(), rows.values.begin() + 3), ElementsAre(2.0, 1.5, 0.25));
    EXPECT_TRUE(std::isnan(rows.values[3]));
    EXPECT_THAT(findings(Severity::note), HasSubstr("decimal comma"));
}

TEST_F(GaugeRowsTest, AStationInEachLineIsTheLongForm) {
    const GaugeRows rows =
        read("STATION,DATE,PRCP,PRCP_ATTRIBUTES\nB2,1990-03-14,3,\"a,b\"\nA1,1990-03-14,1,\nB2,1990-03-15,T,\n");
    EXPECT_THAT(rows.ids, ElementsAre("A1", "B2"));
    EXPECT_EQ(rows.width(), 1U);
    ASSERT_EQ(rows.rows.size(), 3U);
    EXPECT_EQ(rows.rows[0].station, 1U);
    EXPECT_EQ(rows.rows[1].station, 0U);
    EXPECT_THAT(rows.values, ElementsAre(3.0, 1.0, 0.0));
    EXPECT_EQ(rows.unit, "");
    EXPECT_THAT(findings(Severity::note), HasSubstr("1 trace of rain, the first \"T\" in line 4"));
}

TEST_F(GaugeRowsTest, YearMonthAndDayMayStandInColumnsOfTheirOwn) {
    const GaugeRows rows = read("Year,Month,Day,Rain (in)\n1990,3,14,0.5\n1990,3,15,0\n");
    EXPECT_EQ(rows.unit, "in");
    EXPECT_EQ(rows.rows[0].date.year, 1990);
    EXPECT_EQ(rows.rows[0].date.month, 3);
    EXPECT_EQ(rows.rows[0].date.day, 14);
    EXPECT_FALSE(read("year,month,rain_mm\n1990,Mar,14\n").rows[0].date.day);
    expect_input_error([&] { (void)read("year,month,day,rain_mm\n1990,3,,5\n"); }, {"line 2", "1990-03-14"});
}

TEST_F(GaugeRowsTest, ALineOfUnitsAndAPreambleAreUnderstood) {
    const GaugeRows rows = read(
        "Station data of the district\n# made in 2020\ndate,alpha,beta\nYYYY-MM-DD,mm,mm\n1990-03-14,1,2\n\nEnd of "
        "data\n");
    EXPECT_EQ(rows.unit, "mm");
    EXPECT_THAT(rows.values, ElementsAre(1.0, 2.0));
    EXPECT_EQ(rows.rows[0].line, 5U);
    EXPECT_THAT(findings(Severity::note), HasSubstr("1 line of words without data passed over"));
}

TEST_F(GaugeRowsTest, WhatStandsForMissingIsMissingAndTold) {
    EXPECT_EQ(values("date,rain_mm\n1990-01-01,NA\n1990-01-02,-9999\n1990-01-03,-99.9\n1990-01-04,M\n1990-01-05,0.3\n"),
              "- - - - 0.30 ");
    EXPECT_THAT(findings(Severity::note), HasSubstr("2 numbers that stand for missing, the first \"-9999\" in line 3"));
    EXPECT_EQ(findings(Severity::warning), "");
    EXPECT_EQ(values("date,rain_mm\n1990-01-01,-1.2\n1990-01-02,broken\n1990-01-03\n"), "- - - ");
    EXPECT_THAT(findings(Severity::warning), HasSubstr("1 depth below 0, the first \"-1.2\" in line 2"));
    EXPECT_THAT(findings(Severity::warning), HasSubstr("1 value that is no number, the first \"broken\" in line 3"));
    EXPECT_THAT(findings(Severity::warning), HasSubstr("1 line with fewer cells than names, the first is line 4"));
}

TEST_F(GaugeRowsTest, TemperaturesMayBeBelowZero) {
    EXPECT_EQ(values("date,tmin_c,tmax_c\n1990-01-01,-12,3\n1990-01-02,-9999,4\n1990-01-03,T,4\n",
                     {.quantity = GaugeQuantity::minimum_temperature}),
              "-12. - - ");
    EXPECT_EQ(values("date,tmin_c,tmax_c\n1990-01-01,-12,3\n", {.quantity = GaugeQuantity::maximum_temperature}),
              "3.00 ");
}

TEST_F(GaugeRowsTest, ColumnsAreThoseOfTheSettingsElseOfKnownStationsElseOfTheirNames) {
    const std::string text = "date,A,B,rain\n1990-01-01,1,2,3\n";
    EXPECT_EQ(values(text), "3.00 ");
    EXPECT_EQ(values(text, {.columns = {"B"}}), "2.00 ");
    const std::vector<std::string> known{"a", "C"};
    EXPECT_EQ(values(text, {.known_ids = known}), "1.00 ");
    EXPECT_EQ(values("date,A,B,remark\n1990-01-01,1,2,none\n"), "1.00 2.00 ");
    expect_input_error([&] { (void)read(text, {.columns = {"rian"}}); },
                       {"rain.columns", "no column 'rian'", "did you mean 'rain'?"});
    expect_input_error([&] { (void)read("date,temp_c,remark\n1990-01-01,1,none\n"); },
                       {"no column of rain", "temp_c", "set rain.columns"});
    expect_input_error([&] { (void)read("date,station,rain_gross,rain_net\n1990-01-01,A,1,1\n"); },
                       {"several columns", "rain_gross, rain_net", "set rain.columns"});
}

TEST_F(GaugeRowsTest, FaultsNameTheLineAndWhatToDo) {
    expect_input_error([&] { (void)read("date,rain_mm\n1990-01-01,1\nyesterday,2\n"); },
                       {"rain.source", "line 3", "\"yesterday\" for a date", "1990-03-14"});
    expect_input_error([&] { (void)read("date,rain_mm\n3/14/90,1\n"); }, {"line 2", "years need four digits"});
    expect_input_error([&] { (void)read("date,rain_mm\n1990-01-01,1,2\n"); }, {"line 2", "3 cells under 2 names"});
    expect_input_error([&] { (void)read("date,rain_mm\n"); }, {"no line of data"});
    expect_input_error([&] { (void)read("1990-01-01,1\n1990-01-02,2\n"); }, {"no line with the names"});
    expect_input_error([&] { (void)read("depth,rain_mm\n1,2\n3,4\n"); }, {"no line with the names"});
    expect_input_error([&] { (void)read("date,a_mm,b_inch\n1990-01-01,1,2\n"); }, {"\"mm\"", "\"inch\"", "one unit"});
}

TEST_F(GaugeRowsTest, ACommaThatMayMeanTwoThingsIsRefused) {
    expect_input_error([&] { (void)read("date;rain_mm\n1990-01-01;1,5\n1990-01-02;1.5\n"); },
                       {"line 2", "\"1,5\"", "\"1.5\" in line 3", "decimal point"});
    expect_input_error([&] { (void)read("date;rain_mm\n1990-01-01;1,234\n"); }, {"\"1,234\"", "thousands"});
}

TEST_F(GaugeRowsTest, ASignBetweenThousandsIsReadAsEverywhereElse) {
    EXPECT_EQ(values("date;rain\n1990-01-14;1,234.5\n1990-01-15;2,000\n1990-01-16;3.5\n"), "1234 2000 3.50 ");
    EXPECT_EQ(values("date;rain\n1990-01-14;1.234,5\n1990-01-15;2,125\n"), "1234 2.12 ");
}

TEST_F(GaugeRowsTest, WhatStandsInBracketsIsAUnitOnlyWhereItIsOne) {
    const GaugeRows rows = read("Date (local),Mill (North),Dam (South)\n1990-01-14,1,2\n");
    EXPECT_EQ(rows.unit, "");
    EXPECT_THAT(rows.ids, ElementsAre("Dam", "Mill"));
    EXPECT_THAT(read("date,Rain (mm),Rain (quality)\n1990-01-14,1,2\n").ids, ElementsAre("Rain"));
    EXPECT_EQ(read("date,Rain (total) [mm]\n1990-01-14,1\n").unit, "mm");
}

TEST_F(GaugeRowsTest, IdsMayBeNumbers) {
    EXPECT_THAT(read("date,1108447,1108380\n1990-01-14,1,2\n").ids, ElementsAre("1108380", "1108447"));
    EXPECT_THAT(read("date,station,rain\n1990-01-14,1108447,1\n").ids, ElementsAre("1108447"));
    expect_input_error([&] { (void)read("date,station,rain\n1990-01-14,,1\n"); }, {"line 2", "without a station"});
}

TEST_F(GaugeRowsTest, OfAMeanYearTheMonthsAreEnough) {
    const GaugeRows rows = read("month,rain_mm\nJan,100\n2,90\n", {.mean_year = true});
    EXPECT_EQ(rows.rows[0].date.month, 1);
    EXPECT_EQ(rows.rows[1].date.month, 2);
}

TEST(GaugeTable, IsKnownByItsNameAndATextFileByItsFirstWord) {
    const TempFolder folder;
    EXPECT_TRUE(is_gauge_table("a/B.CSV"));
    EXPECT_TRUE(is_gauge_table("gauge.tsv"));
    EXPECT_FALSE(is_gauge_table("rain.tif"));
    EXPECT_FALSE(is_gauge_table("rain.nc"));
    EXPECT_FALSE(is_gauge_table(folder.write("grid.txt", "NCOLS 3\nnrows 2\n")));
    EXPECT_TRUE(is_gauge_table(folder.write("gauge.txt", "date rain\n")));
}

}  // namespace
}  // namespace eaveshed
