// Which is which: from what was seen of files to the project that is drafted.
#include "eaveshed/draft/draft.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "eaveshed/project/read_settings.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

FieldSeen field(const std::string& name, const std::vector<std::string>& values, std::size_t filled = 100) {
    FieldSeen seen{.name = name, .filled = filled, .values = values, .different = values.size()};
    return seen;
}

FieldSeen numbers(const std::string& name, double least, double most) {
    FieldSeen seen = field(name, {"1", "2"});
    seen.numbers = seen.filled;
    seen.least = least;
    seen.most = most;
    return seen;
}

FieldSeen ids(const std::string& name) {
    FieldSeen seen = field(name, {"a", "b"});
    seen.different = 100;
    return seen;
}

FileSeen layer_file(const std::string& path, const std::string& layer, LayerShape2d shape, double area_m2,
                    std::vector<FieldSeen> fields) {
    LayerSeen seen{.name = layer, .shape = shape, .features = 100, .looked_at = 100, .crs = "EPSG:32610"};
    seen.degrees = Box{-123.0, 38.0, -122.9, 38.1};
    if (area_m2 > 0.0) {
        seen.typical_area_m2 = area_m2;
    }
    seen.fields = std::move(fields);
    return {.path = path, .layers = {seen}};
}

FileSeen grid_file(const std::string& path, int bands, StepsSeen steps, double least, double median, double most) {
    GridSeen grid{.bands = bands, .rows = 100, .cols = 100, .cell_m = 1.0, .crs = "EPSG:32610"};
    grid.degrees = Box{-123.0, 38.0, -122.9, 38.1};
    grid.steps = steps;
    grid.least = least;
    grid.median = median;
    grid.most = most;
    FileSeen file{.path = path};
    file.grid = grid;
    return file;
}

std::vector<FileSeen> a_basin() {
    return {layer_file("/d/buildings.gpkg", "buildings", LayerShape2d::polygons, 140.0,
                       {ids("bldg_id"), field("roof_mat", {"metal", "slate"}), numbers("floors", 1, 3),
                        numbers("eave_ft", 8, 30), field("apn", {"1-2"})}),
            layer_file("/d/parcels.shp", "parcels", LayerShape2d::polygons, 2500.0,
                       {ids("APN"), numbers("people", 0, 6), numbers("use_gal", 1e4, 1e5), field("owner_name", {"x"}),
                        field("phone", {"y"})}),
            layer_file("/d/creeks.gpkg", "creek_lines", LayerShape2d::lines, 0.0, {}),
            grid_file("/d/dem.tif", 1, StepsSeen::one, 60, 90, 200),
            grid_file("/d/rain.tif", 360, StepsSeen::months, 0, 5, 400)};
}

std::string text_of(const std::vector<FileSeen>& files) {
    return draft_text(draft_project(files, "/d"), "x.gpkg");
}

std::string role_of(const Draft& draft, const std::string& path) {
    for (const DraftedInput& input : draft.inputs) {
        if (input.path == path) {
            return input.role;
        }
    }
    return "no input";
}

TEST(DraftProject, NamesEveryRoleAndFieldWithItsUnit) {
    const std::string text = text_of(a_basin());
    EXPECT_THAT(text, AllOf(HasSubstr("source = \"buildings.gpkg\""), HasSubstr("\nid = \"bldg_id\""),
                            HasSubstr("\nmaterial = \"roof_mat\""), HasSubstr("\nstoreys = \"floors\""),
                            HasSubstr("\neave_height = { field = \"eave_ft\", unit = \"ft\" }"),
                            HasSubstr("\nparcel = \"apn\""), HasSubstr("\nid = \"APN\""),
                            HasSubstr("\nseason_use_m3 = { field = \"use_gal\", unit = \"gal\" }"),
                            HasSubstr("\ncarry = [\"owner_name\", \"phone\"]")));
    EXPECT_THAT(text,
                AllOf(HasSubstr("[streams]"), HasSubstr("elevation = \"dem.tif\""), HasSubstr("kind = \"monthly\""),
                      HasSubstr("#\"slate\" = 0.85"), Not(HasSubstr("[season]"))));
}

// Whatever was seen, the draft is a project file that reads without an error but for what it says is missing.
TEST(DraftProject, IsAProjectFile) {
    std::vector<FileSeen> files = a_basin();
    files[4].grid->unit = "mm";
    Findings findings;
    EXPECT_TRUE(read_settings(text_of(files), "x.toml", findings));
    EXPECT_EQ(findings.count(Severity::error), 0U);
    // Each file may be absent.
    for (std::size_t i = 0; i < files.size(); ++i) {
        std::vector<FileSeen> fewer = files;
        fewer.erase(fewer.begin() + static_cast<std::ptrdiff_t>(i));
        Findings of_fewer;
        static_cast<void>(read_settings(text_of(fewer), "x.toml", of_fewer));
        for (const Finding& finding : of_fewer.list()) {
            if (finding.severity == Severity::error) {
                EXPECT_THAT(text_of(fewer), HasSubstr("MISSING")) << finding_line(finding);
            }
        }
    }
}

TEST(DraftProject, LargeAndSmallPolygonsTellParcelsFromRoofsWithoutANameThatHelps) {
    const Draft draft =
        draft_project({layer_file("/d/poly1.shp", "poly1", LayerShape2d::polygons, 2000.0, {ids("APN")}),
                       layer_file("/d/poly2.shp", "poly2", LayerShape2d::polygons, 120.0, {ids("fid")})},
                      "/d");
    EXPECT_EQ(role_of(draft, "/d/poly2.shp"), "footprints.source");
    EXPECT_EQ(role_of(draft, "/d/poly1.shp"), "parcels.source");
}

TEST(DraftProject, ASecondCopyOfALayerGetsNoRole) {
    std::vector<FileSeen> files = a_basin();
    files.push_back(files[0]);
    files.back().path = "/d/buildings.geojson";
    files.back().layers[0].fields.pop_back();
    const Draft draft = draft_project(files, "/d");
    EXPECT_EQ(role_of(draft, "/d/buildings.gpkg"), "footprints.source");
    EXPECT_EQ(role_of(draft, "/d/buildings.geojson"), "");
}

TEST(DraftProject, TilesSideBySideAreOneElevationAndACoarserOneIsLeftOut) {
    std::vector<FileSeen> files = a_basin();
    files.push_back(grid_file("/d/dem_2.tif", 1, StepsSeen::one, 60, 90, 200));
    files.back().grid->degrees = Box{-122.9, 38.0, -122.8, 38.1};
    files.push_back(grid_file("/d/dem_30m.tif", 1, StepsSeen::one, 60, 90, 200));
    files.back().grid->cell_m = 30.0;
    EXPECT_THAT(text_of(files), HasSubstr("elevation = [\"dem.tif\", \"dem_2.tif\"]"));
    EXPECT_EQ(role_of(draft_project(files, "/d"), "/d/dem_30m.tif"), "");
}

TEST(DraftProject, HeightsAboveTheGroundAreToldFromElevationsOfTheSurface) {
    std::vector<FileSeen> files = a_basin();
    files.push_back(grid_file("/d/dsm.tif", 1, StepsSeen::one, 60, 92, 215));
    EXPECT_THAT(text_of(files), AllOf(HasSubstr("surface = \"dsm.tif\""), Not(HasSubstr("surface_kind"))));
    files.back() = grid_file("/d/first_return.tif", 1, StepsSeen::one, 0, 0, 30);
    EXPECT_THAT(text_of(files), HasSubstr("surface_kind = \"height\""));
}

TEST(DraftProject, OfSeveralRainRecordsTheOneOfDaysIsTaken) {
    std::vector<FileSeen> files = a_basin();
    files.push_back(grid_file("/d/pr_daily.nc", 9000, StepsSeen::days, 0, 0, 90));
    const Draft draft = draft_project(files, "/d");
    EXPECT_EQ(role_of(draft, "/d/pr_daily.nc"), "rain.source");
    EXPECT_EQ(role_of(draft, "/d/rain.tif"), "");
}

TEST(DraftProject, AUnitIsWrittenOnlyWhereTheFileDoesNotSayIt) {
    std::vector<FileSeen> files = a_basin();
    EXPECT_THAT(text_of(files), HasSubstr("#unit = \"mm\"")) << "not sure";
    files[4].path = "/d/rain_mm.tif";
    EXPECT_THAT(text_of(files), HasSubstr("\nunit = \"mm\""));
    files[4].grid->unit = "kg m-2 s-1";
    EXPECT_THAT(text_of(files), Not(HasSubstr("\nunit = \"mm\"")));
}

TEST(DraftProject, WhatIsDoubtfulStandsAsACommentWithItsReason) {
    std::vector<FileSeen> files = a_basin();
    files[0].layers[0].fields = {field("osm_id", {"1", "2"}), numbers("height", 3, 9), field("roof_mat", {"x"}, 2),
                                 numbers("gutter_share", 0, 75)};
    const std::string text = text_of(files);
    EXPECT_THAT(text,
                AllOf(HasSubstr("#id = \"osm_id\""), HasSubstr("2 different values for 100 features"),
                      HasSubstr("#eave_height = \"height\""), HasSubstr("ridge"), HasSubstr("#material = \"roof_mat\""),
                      HasSubstr("filled in 2 of 100"), HasSubstr("#connected_share"), HasSubstr("values up to 75")));
}

TEST(DraftProject, SouthOfTheEquatorWinterComesInTheMiddleOfTheYear) {
    std::vector<FileSeen> files = a_basin();
    files[0].layers[0].degrees = Box{20.0, -34.1, 20.6, -34.0};
    const std::string text = text_of(files);
    EXPECT_THAT(text, AllOf(HasSubstr("[season]"), HasSubstr("forbear_months = [2, 3, 4]")));
    Findings findings;
    files[4].grid->unit = "mm";
    EXPECT_TRUE(read_settings(text_of(files), "x.toml", findings));
}

TEST(DraftProject, NamesCannotBreakOutOfTheirQuotes) {
    std::vector<FileSeen> files = a_basin();
    files[0].layers[0].fields[0].name = "id\" evil = 1 #\\";
    files[4].grid->unit = "mm";
    Findings findings;
    const auto settings = read_settings(text_of(files), "x.toml", findings);
    ASSERT_TRUE(settings) << finding_line(findings.list().front()) << text_of(files);
    EXPECT_EQ(settings->footprints.id, "id\" evil = 1 #\\");
}

TEST(DraftProject, TablesAreToldApart) {
    const auto table = [](const std::string& path, std::vector<FieldSeen> fields) {
        return layer_file(path, "t", LayerShape2d::none, 0.0, std::move(fields));
    };
    const Draft draft = draft_project(
        {table("/d/gauge.csv", {field("date", {"1991-10-01", "1991-10-02"}), numbers("precip_in", 0, 4),
                                numbers("tmin_c", -5, 20), numbers("tmax_c", 0, 40)}),
         table("/d/stations.csv", {field("id", {"a"}), numbers("lon", -123, -122), numbers("lat", 38, 39)}),
         table("/d/measured.csv", {field("roof_id", {"a"}), numbers("eave_height_m", 2, 4)}),
         table("/d/called.csv", {field("parcel_id", {"a"}), field("outcome", {"yes"})}),
         table("/d/other.csv", {field("colour", {"red"})})},
        "/d");
    EXPECT_EQ(role_of(draft, "/d/gauge.csv"), "rain.source");
    EXPECT_EQ(role_of(draft, "/d/stations.csv"), "rain.stations");
    EXPECT_EQ(role_of(draft, "/d/measured.csv"), "overrides.source");
    EXPECT_EQ(role_of(draft, "/d/called.csv"), "contacts.source");
    EXPECT_EQ(role_of(draft, "/d/other.csv"), "");
    EXPECT_THAT(draft_text(draft, "x.gpkg"),
                AllOf(HasSubstr("[temperature]\nminimum = \"gauge.csv\""), HasSubstr("kind = \"daily\""),
                      HasSubstr("unit = \"in\""), HasSubstr("stations = \"stations.csv\"")));
}

TEST(DraftPage, ListsEveryInputAndWhatIsMissing) {
    std::vector<FileSeen> files = a_basin();
    files.erase(files.begin() + 3);
    files.push_back({.path = "/d/broken.tif", .trouble = "a damaged file"});
    const std::string page = draft_page(draft_project(files, "/d"), "x.toml");
    EXPECT_THAT(page, AllOf(HasSubstr("buildings.gpkg"), HasSubstr("footprints.source"), HasSubstr("a damaged file"),
                            HasSubstr("Still missing: [terrain]"), HasSubstr("eaveshed check x.toml")));
}

}  // namespace
}  // namespace eaveshed
