#include "eaveshed/gauges/gauge_places.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "eaveshed/gauges/gauge_network.hpp"
#include "eaveshed/outside/gdal_crs.hpp"
#include "support/expect_error.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using ::testing::ElementsAre;
using testing::expect_input_error;
using ::testing::HasSubstr;
using testing::TempFolder;

class GaugePlacesTest : public ::testing::Test {
protected:
    GaugePlaces read(const std::string& text) {
        return read_gauge_places("rain.stations", m_folder.write("s.csv", text), m_findings);
    }
    std::string findings() const {
        std::string all;
        for (const Finding& finding : m_findings.list()) {
            all += finding_line(finding) + "\n";
        }
        return all;
    }
    VectorInfo footprints() const {
        VectorInfo info;
        info.where = "footprints";
        info.crs = crs_from_text("EPSG:32610", "test");
        info.extent = {500000.0, 4190000.0, 501000.0, 4191000.0};
        return info;
    }
    std::vector<UsedSeries> used(const std::vector<std::string>& ids, const std::string& places) {
        m_findings = {};
        const VectorInfo info = footprints();
        return used_series(ids, places.empty() ? std::nullopt : std::optional(read(places)), &info, "gauges.csv",
                           "rain.stations", m_findings);
    }

    TempFolder m_folder;
    Findings m_findings;
};

TEST_F(GaugePlacesTest, AreReadAsXAndYOrAsLongitudesAndLatitudes) {
    const GaugePlaces plane = read("ID;name;Easting;Northing\nA;Mill;500000;4190000.5\nB;Dam;501000,5;4191000\n");
    EXPECT_FALSE(plane.lon_lat);
    EXPECT_THAT(plane.ids(), ElementsAre("A", "B"));
    EXPECT_EQ(plane.places[1].place.x, 501000.5);
    EXPECT_EQ(read("id;x;y\nA;501.000,5;4.191.000\n").places[0].place.y, 4191000.0);
    EXPECT_EQ(read("id;lon;lat\nA;-122,125;37,9\n").places[0].place.x, -122.125);
    const GaugePlaces degrees = read("station,latitude,longitude\nA,37.9,-123\n");
    EXPECT_TRUE(degrees.lon_lat);
    EXPECT_EQ(degrees.places[0].place.x, -123.0);
    EXPECT_EQ(degrees.places[0].place.y, 37.9);
}

TEST_F(GaugePlacesTest, AStationNumberIsAnId) {
    const GaugePlaces places = read("Station Number,Name,Latitude,Longitude\n066037,Mill,37.9,-123\n");
    EXPECT_THAT(places.ids(), ElementsAre("066037"));
    EXPECT_EQ(places.places[0].place.x, -123.0);
}

TEST_F(GaugePlacesTest, BothSpellingsGiveTheSameDegrees) {
    // The central meridian of zone 10 is 123 W; x 500000 lies on it.
    const Crs utm = crs_from_text("EPSG:32610", "test");
    const std::vector<Point> from_plane = degrees_of(read("id,x,y\nA,500000,4190000\n"), utm);
    EXPECT_NEAR(from_plane[0].x, -123.0, 1e-9);
    const std::vector<Point> from_degrees =
        degrees_of(read("id,lon,lat\nA,-123," + std::to_string(from_plane[0].y) + "\n"), utm);
    EXPECT_NEAR(from_degrees[0].y, from_plane[0].y, 1e-6);
}

TEST_F(GaugePlacesTest, FaultsNameTheLine) {
    expect_input_error([&] { (void)read("id,x\nA,5\n"); }, {"rain.stations", "line 1", "id, x and y"});
    expect_input_error([&] { (void)read("id,x,y\nA,5,6\nA,7,8\n"); }, {"line 3", "'A' a second time", "line 2"});
    expect_input_error([&] { (void)read("id,x,y\n,5,6\n"); }, {"line 2", "without an id"});
    expect_input_error([&] { (void)read("id,x,y\nA,5,\n"); }, {"line 2", "\"\" for y"});
    expect_input_error([&] { (void)read("id;x;y\nA;501,000;4190000\n"); }, {"line 2", "\"501,000\" for x"});
    expect_input_error([&] { (void)read("id,lon,lat\nA,49,-123\n"); }, {"line 2", "exchanged"});
    expect_input_error([&] { (void)read("id,lon,lat\nA,500000,4190000\n"); }, {"name the columns x and y"});
}

TEST_F(GaugePlacesTest, OneSeriesWithoutAPlaceCountsEverywhere) {
    const auto found = used({"rain"}, "");
    ASSERT_EQ(found.size(), 1U);
    EXPECT_FALSE(found[0].degrees);
    EXPECT_THAT(findings(), HasSubstr("note"));
    EXPECT_FALSE(used({"rain"}, "id,x,y\nA,500000,4190000\nB,500000,4190100\n")[0].degrees);
    EXPECT_THAT(findings(), HasSubstr("which rain.stations"));
}

TEST_F(GaugePlacesTest, OneSeriesAndOnePlaceBelongTogether) {
    const auto found = used({"rain"}, "id,x,y\n1108447,500000,4190000\n");
    ASSERT_EQ(found.size(), 1U);
    EXPECT_NEAR(found[0].degrees.value().x, -123.0, 1e-9);
    EXPECT_EQ(findings(), "");
}

TEST_F(GaugePlacesTest, SeveralSeriesNeedPlaces) {
    expect_input_error(
        [&] {
            (void)used({"A", "B"}, "");
        },
        {"gauges.csv", "2 gauges and no places: A, B", "give rain.stations"});
    expect_input_error(
        [&] {
            (void)used({"A", "B"}, "id,x,y\nC,1,1\nD,2,2\n");
        },
        {"A, B", "none of which has a place", "C, D"});
}

TEST_F(GaugePlacesTest, WhatHasNoPartnerIsToldAndLeftOut) {
    const auto found = used({"A", "B", "C"}, "id,x,y\nC,500000,4190000\nD,500000,4190100\nA,500000,4190000\n");
    ASSERT_EQ(found.size(), 2U);
    EXPECT_EQ(found[0].series, 0U);
    EXPECT_EQ(found[1].series, 2U);
    EXPECT_THAT(findings(), HasSubstr("warning: gauges.csv: found 1 gauge without a place: B"));
    EXPECT_THAT(findings(), HasSubstr("found 1 place without a series: D"));
}

TEST_F(GaugePlacesTest, WithoutFootprintsEverySeriesIsLookedAtAllTheSame) {
    const auto found = used_series({"A", "B", "C"}, read("id,x,y\nC,1,1\nA,2,2\n"), nullptr, "gauges.csv",
                                   "rain.stations", m_findings);
    ASSERT_EQ(found.size(), 2U);
    EXPECT_EQ(found[1].series, 2U);
    EXPECT_FALSE(found[1].degrees);
    EXPECT_THAT(findings(), HasSubstr("1 gauge without a place: B"));
}

TEST_F(GaugePlacesTest, GaugesFarAwayAreTold) {
    GaugeTableInfo table{.where = "gauges.csv", .places_where = "s.csv"};
    table.stations = {{.id = "A", .degrees = Point{-123.0, 38.0}}};
    warn_of_far_gauges(table, footprints(), m_findings);
    EXPECT_EQ(findings(), "");
    table.stations = {{.id = "A", .degrees = Point{-103.0, 38.0}}};
    warn_of_far_gauges(table, footprints(), m_findings);
    EXPECT_THAT(findings(), HasSubstr("km from the middle of the footprints"));
}

}  // namespace
}  // namespace eaveshed
