// Which is which: from what was seen of files to the project that is drafted.
#include "eaveshed/draft/draft.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "eaveshed/project/read_settings.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::ContainsRegex;
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

FileSeen table(const std::string& path, std::vector<FieldSeen> fields) {
    return layer_file(path, "t", LayerShape2d::none, 0.0, std::move(fields));
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

std::string why_of(const Draft& draft, const std::string& path) {
    for (const DraftedInput& input : draft.inputs) {
        if (input.path == path) {
            return input.why;
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
    // Without footprints, elevations or rain it is none yet, and says so; the others may be absent.
    for (std::size_t i = 0; i < files.size(); ++i) {
        std::vector<FileSeen> fewer = files;
        fewer.erase(fewer.begin() + static_cast<std::ptrdiff_t>(i));
        Findings of_fewer;
        static_cast<void>(read_settings(text_of(fewer), "x.toml", of_fewer));
        const bool needed = i != 1 && i != 2;
        EXPECT_EQ(of_fewer.count(Severity::error) > 0, needed) << files[i].path;
        EXPECT_EQ(text_of(fewer).find("MISSING") != std::string::npos, needed) << files[i].path;
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
    EXPECT_THAT(text, AllOf(HasSubstr("\n#[season]"), HasSubstr("\n#forbear_months = [2, 3, 4]"),
                            HasSubstr("\n#fill_months = [5, 6, 7, 8, 9, 10, 11]"), HasSubstr("own dry months")));
    files[4].grid->unit = "mm";
    files[4].grid->steps = StepsSeen::twelve;
    files[4].grid->bands = 12;
    files[4].grid->means = {5, 60, 70, 80, 90, 90, 80, 70, 60, 50, 20, 9};
    EXPECT_THAT(text_of(files), AllOf(HasSubstr("#forbear_months = [11, 12, 1]"),
                                      HasSubstr("#fill_months = [2, 3, 4, 5, 6, 7, 8]"), HasSubstr("least rain")));
    Findings findings;
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

const FieldSeen kDates = field("date", {"1991-10-01", "1991-10-02"});

TEST(DraftProject, GaugesAreReadFromTextAloneAndTextIsReadAsGaugesAlone) {
    const std::vector<FieldSeen> rain{kDates, numbers("precip_mm", 0, 90)};
    const std::vector<FieldSeen> places{field("id", {"a"}), numbers("lon", -123, -122), numbers("lat", 38, 39)};
    for (const char* const ending : {".xlsx", ".gpkg"}) {
        for (const auto& fields : {rain, places}) {
            const Draft draft = draft_project({table("/d/g" + std::string(ending), fields)}, "/d");
            EXPECT_EQ(role_of(draft, "/d/g" + std::string(ending)), "");
            EXPECT_THAT(why_of(draft, "/d/g" + std::string(ending)), HasSubstr("save it as CSV"));
        }
    }
    FileSeen text = table("/d/g.txt", rain);
    text.only_gauges = true;
    EXPECT_EQ(role_of(draft_project({text}, "/d"), "/d/g.txt"), "rain.source");
    text.layers[0].fields = {field("Parcel id", {"a"}), field("Outcome", {"yes"})};
    EXPECT_EQ(role_of(draft_project({text}, "/d"), "/d/g.txt"), "");
    text.only_gauges = false;
    EXPECT_EQ(role_of(draft_project({text}, "/d"), "/d/g.txt"), "contacts.source");
}

TEST(DraftProject, PlacesOfGaugesGoToTheGaugesThatAreRead) {
    const FileSeen places =
        table("/d/stations.csv", {field("id", {"a"}), numbers("lon", -123, -122), numbers("lat", 38, 39)});
    const FileSeen temperatures = table("/d/t.csv", {kDates, numbers("tmin_c", -5, 20), numbers("tmax_c", 0, 40)});
    std::vector<FileSeen> files = a_basin();
    files[4].grid->unit = "mm";
    files.push_back(places);
    EXPECT_EQ(role_of(draft_project(files, "/d"), "/d/stations.csv"), "") << "gridded rain alone has no gauges";
    EXPECT_THAT(text_of(files), Not(HasSubstr("stations.csv")));
    files.push_back(temperatures);
    EXPECT_EQ(role_of(draft_project(files, "/d"), "/d/stations.csv"), "temperature.stations");
    EXPECT_THAT(text_of(files), ContainsRegex("\\[temperature\\]\n(.*\n)*stations = \"stations.csv\""));
    Findings findings;
    const auto settings = read_settings(text_of(files), "x.toml", findings);
    ASSERT_TRUE(settings);
    EXPECT_EQ(settings->temperature.stations, "stations.csv");
    EXPECT_EQ(settings->rain.stations, "");
    files.erase(files.begin() + 4);
    files.push_back(table("/d/rain.csv", {kDates, numbers("precip_mm", 0, 90)}));
    const auto both = read_settings(text_of(files), "x.toml", findings);
    ASSERT_TRUE(both);
    EXPECT_EQ(both->temperature.stations, "stations.csv");
    EXPECT_EQ(both->rain.stations, "stations.csv");
}

TEST(DraftProject, DatesAndColumnsAreThoseThatTheReaderOfGaugesKnows) {
    const auto kind = [](const std::string& column, const std::vector<std::string>& dates) {
        const std::string text = text_of({table("/d/g.csv", {field(column, dates), numbers("Rain (mm)", 0, 90)})});
        EXPECT_THAT(text, HasSubstr("source = \"g.csv\"")) << column << ' ' << dates.front();
        EXPECT_THAT(text, HasSubstr("\nunit = \"mm\"")) << column;
        return text.find("kind = \"monthly\"") != std::string::npos ? "monthly" : "daily";
    };
    EXPECT_STREQ(kind("Datum", {"14.03.1990", "15.03.1990"}), "daily");
    EXPECT_STREQ(kind("timestamp", {"1990-03-14 07:00", "1990-03-15 07:00"}), "daily");
    EXPECT_STREQ(kind("date", {"Mar 14 1990", "Mar 15 1990"}), "daily");
    EXPECT_STREQ(kind("date", {"1/13/1990", "1/14/1990"}), "daily");
    EXPECT_STREQ(kind("month", {"Mar 1990", "Apr 1990"}), "monthly");
    EXPECT_STREQ(kind("date", {"1/1/1990", "2/1/1990"}), "monthly");
    EXPECT_STREQ(kind("yyyymm", {"199003", "199004"}), "monthly");
    // No date at all, though it looks like one.
    EXPECT_EQ(
        role_of(draft_project({table("/d/g.csv", {field("date", {"1990-13-45"}), numbers("rain_mm", 0, 9)})}, "/d"),
                "/d/g.csv"),
        "");
}

TEST(DraftProject, SingleBandsOfClimateAreNoHeights) {
    for (const char* const name : {"rain_annual", "tmin_january", "mean_temperature", "et0_july", "rain_surface"}) {
        std::vector<FileSeen> files = a_basin();
        const std::string path = "/d/" + std::string(name) + ".tif";
        files[3] = grid_file(path, 1, StepsSeen::one, 2, 9, 20);
        const Draft draft = draft_project(files, "/d");
        EXPECT_EQ(role_of(draft, path), "") << name;
        EXPECT_THAT(why_of(draft, path), HasSubstr("no heights")) << name;
        EXPECT_THAT(draft_text(draft, "x.gpkg"), HasSubstr("[terrain]\n# MISSING")) << name;
    }
    std::vector<FileSeen> files = a_basin();
    files[3] = grid_file("/d/a.tif", 1, StepsSeen::one, 270, 280, 290);
    files[3].grid->unit = "K";
    EXPECT_EQ(role_of(draft_project(files, "/d"), "/d/a.tif"), "");
    files[3] = grid_file("/d/dem_minimum.tif", 1, StepsSeen::one, 270, 280, 290);
    EXPECT_EQ(role_of(draft_project(files, "/d"), "/d/dem_minimum.tif"), "terrain.elevation");
}

TEST(DraftProject, FilesOfOneStepAreDaysOrMonthsByTheCalendar) {
    const auto step = [](const std::string& name, std::optional<Date> date) {
        FileSeen file = grid_file("/d/prcp_" + name + ".tif", 1, StepsSeen::one, 0, 5, 40);
        file.grid->first = file.grid->last = date;
        return file;
    };
    std::vector<FileSeen> files = a_basin();
    files.pop_back();
    files.push_back(step("b", Date{2001, 3, 1}));
    files.push_back(step("x", std::nullopt));
    files.push_back(step("a", Date{2001, 2, 28}));
    EXPECT_THAT(text_of(files), AllOf(HasSubstr("source = [\"prcp_a.tif\", \"prcp_b.tif\", \"prcp_x.tif\"]"),
                                      HasSubstr("\nkind = \"daily\"")));
    files[4] = step("b", Date{2001, 3, 28});
    EXPECT_THAT(text_of(files), HasSubstr("\nkind = \"monthly\""));
}

TEST(DraftProject, EveryUnitThatItReadsInANameIsOneOfTheProgram) {
    std::vector<FileSeen> files = a_basin();
    files[4].grid->unit = "mm";
    for (const auto& [name, unit] : {std::pair("use_kgal", "kgal"), std::pair("use_litre", "L")}) {
        files[1].layers[0].fields[2] = numbers(name, 10, 200);
        EXPECT_THAT(text_of(files),
                    HasSubstr("\nseason_use_m3 = { field = \"" + std::string(name) + "\", unit = \"" + unit));
        Findings findings;
        EXPECT_TRUE(read_settings(text_of(files), "x.toml", findings)) << name;
    }
}

TEST(DraftProject, BoundsOfABasinOrAServiceAreNoGroundToKeepOff) {
    std::vector<FileSeen> files = a_basin();
    const auto add = [&](const std::string& name, double area_m2) {
        files.push_back(layer_file("/d/" + name + ".shp", name, LayerShape2d::polygons, area_m2, {field("n", {"a"})}));
        files.back().layers[0].features = 1;
    };
    add("watershed_boundary", 9e7);
    EXPECT_EQ(role_of(draft_project(files, "/d"), "/d/watershed_boundary.shp"), "") << "water is no word of it";
    files.pop_back();
    add("Water_Service_Area", 9e3);
    EXPECT_THAT(text_of(files), AllOf(HasSubstr("\n#[[exclusions]]\n#source = \"Water_Service_Area.shp\""),
                                      HasSubstr("called \"service\" too"), Not(HasSubstr("\n[[exclusions]]"))));
    Findings findings;
    files[4].grid->unit = "mm";
    EXPECT_TRUE(read_settings(text_of(files), "x.toml", findings));
    files.pop_back();
    add("wetland", 9e7);
    EXPECT_THAT(text_of(files), AllOf(HasSubstr("#[[exclusions]]"), HasSubstr("covers nearly all")));
    files.pop_back();
    add("flood_hazard_area", 9e4);
    EXPECT_THAT(text_of(files), HasSubstr("\n[[exclusions]]\nsource = \"flood_hazard_area.shp\""));
}

TEST(DraftProject, RastersMadeFromHeightsAreNoHeights) {
    std::vector<FileSeen> files = a_basin();
    files[3] = grid_file("/d/be_lidar_1m.tif", 1, StepsSeen::one, 60, 90, 200);
    for (const char* const name : {"hillshade", "groundwater_depth", "impervious_surface_2019", "dem_slope"}) {
        files.push_back(grid_file("/d/" + std::string(name) + ".tif", 1, StepsSeen::one, 0, 20, 90));
    }
    files.push_back(grid_file("/d/hh_lidar_1m.tif", 1, StepsSeen::one, 60, 93, 230));
    const Draft draft = draft_project(files, "/d");
    EXPECT_EQ(role_of(draft, "/d/be_lidar_1m.tif"), "terrain.elevation");
    EXPECT_EQ(role_of(draft, "/d/hh_lidar_1m.tif"), "terrain.surface");
    for (const char* const name : {"hillshade", "groundwater_depth", "impervious_surface_2019", "dem_slope"}) {
        EXPECT_EQ(role_of(draft, "/d/" + std::string(name) + ".tif"), "") << name;
        EXPECT_THAT(why_of(draft, "/d/" + std::string(name) + ".tif"), HasSubstr("no heights")) << name;
    }
}

TEST(DraftProject, OfSeveralNamelessRastersNoneIsTheElevation) {
    std::vector<FileSeen> files = a_basin();
    files[3] = grid_file("/d/a.tif", 1, StepsSeen::one, 60, 90, 200);
    EXPECT_THAT(text_of(files), HasSubstr("\nelevation = \"a.tif\""));
    files.push_back(grid_file("/d/b.tif", 1, StepsSeen::one, 0, 3, 17));
    EXPECT_THAT(text_of(files), AllOf(HasSubstr("#elevation = \"a.tif\""), HasSubstr("#elevation = \"b.tif\""),
                                      HasSubstr("0 to 17"), HasSubstr("MISSING"), Not(HasSubstr("\nelevation"))));
    files.pop_back();
    files[3].grid->whole_numbers = true;
    EXPECT_THAT(text_of(files), AllOf(HasSubstr("#elevation = \"a.tif\""), HasSubstr("whole numbers from 60 to 200")));
    files[3].grid->unit = "m";
    EXPECT_THAT(text_of(files), HasSubstr("\nelevation = \"a.tif\""));
}

FileSeen year_of_days(int year) {
    FileSeen file = grid_file("/d/prcp_" + std::to_string(year) + ".nc", 365, StepsSeen::days, 0, 1, 90);
    file.grid->first = Date{year, 1, 1};
    file.grid->last = Date{year, 12, 31};
    return file;
}

TEST(DraftProject, FilesThatGoOnByDateAreOneRecord) {
    std::vector<FileSeen> files = a_basin();
    files[4] = year_of_days(2001);
    files.push_back(year_of_days(2000));
    files.push_back(year_of_days(2002));
    files.push_back(year_of_days(2002));
    files.back().path = "/d/prcp_again.nc";
    const std::string text = text_of(files);
    EXPECT_THAT(text, AllOf(HasSubstr("source = [\"prcp_2000.nc\", \"prcp_2001.nc\", \"prcp_2002.nc\"]"),
                            HasSubstr("kind = \"daily\""), HasSubstr("from 2000-01 to 2002-12")));
    EXPECT_THAT(why_of(draft_project(files, "/d"), "/d/prcp_again.nc"), HasSubstr("has already"));
    files[4].grid->cols = 7;  // the first one has other cells
    EXPECT_THAT(text_of(files), HasSubstr("source = [\"prcp_2000.nc\", \"prcp_2002.nc\"]"));
    EXPECT_THAT(why_of(draft_project(files, "/d"), "/d/prcp_2001.nc"), HasSubstr("not with the cells"));
}

TEST(DraftProject, TheYearBesideTwelveNormalsIsLeftOut) {
    std::vector<FileSeen> files = a_basin();
    files.pop_back();
    for (int month = 1; month <= 12; ++month) {
        files.push_back(grid_file("/d/ppt_normal_" + std::to_string(month) + ".tif", 1, StepsSeen::one, 0, 80, 200));
    }
    files.push_back(grid_file("/d/ppt_normal_annual.tif", 1, StepsSeen::one, 0, 960, 2000));
    const Draft draft = draft_project(files, "/d");
    EXPECT_EQ(role_of(draft, "/d/ppt_normal_12.tif"), "rain.source");
    EXPECT_EQ(role_of(draft, "/d/ppt_normal_annual.tif"), "");
    EXPECT_THAT(draft_text(draft, "x.gpkg"), HasSubstr("\nkind = \"monthly-normals\""));
    files.back().path = "/d/ppt_normal_99.tif";
    EXPECT_EQ(role_of(draft_project(files, "/d"), "/d/ppt_normal_99.tif"), "") << "by its size";
}

TEST(DraftProject, AFieldNeedsItsUnitAndItsWords) {
    std::vector<FileSeen> files = a_basin();
    files[1].layers[0].fields = {ids("APN"),
                                 numbers("USE_CODE", 1, 9),
                                 numbers("PUMP_HP", 1, 5),
                                 numbers("GARDEN_SF", 0, 9000),
                                 numbers("STORAGE_FE", 0, 5000),
                                 field("STATUS", {"A", "ACTIVE"}),
                                 field("WTR_SRC", {"CREEK", "WELL"}),
                                 numbers("NUM_PERS", 1, 5),
                                 numbers("DIST_TO_CREEK_FT", 10, 900),
                                 field("MAILADD1", {"x"})};
    const std::string text = text_of(files);
    EXPECT_THAT(text, AllOf(Not(HasSubstr("season_use_m3")), Not(HasSubstr("pump_lps")),
                            HasSubstr("\nirrigated_area_m2 = { field = \"GARDEN_SF\", unit = \"ft2\" }"),
                            HasSubstr("#existing_storage_m3 = \"STORAGE_FE\""), HasSubstr("which unit?"),
                            HasSubstr("#status = \"STATUS\""), HasSubstr("do not contact"),
                            HasSubstr("#water_source = \"WTR_SRC\""), HasSubstr("no field recognised")));
    EXPECT_THAT(text, AllOf(HasSubstr("\npeople = \"NUM_PERS\""),
                            HasSubstr("\nstream_distance_m = { field = \"DIST_TO_CREEK_FT\", unit = \"ft\" }"),
                            HasSubstr("carry = [\"MAILADD1\"]")));
    files[1].layers[0].fields = {ids("PARCEL_NUM"), field("STATUS", {"candidate", "Do not contact"}),
                                 field("WATER_SRC", {"creek", "mains"}), numbers("TANK_GAL", 0, 5000),
                                 numbers("PUMP_LPS", 0, 2)};
    EXPECT_THAT(text_of(files), AllOf(HasSubstr("\nid = \"PARCEL_NUM\""), HasSubstr("\nstatus = \"STATUS\""),
                                      HasSubstr("\nwater_source = \"WATER_SRC\""),
                                      HasSubstr("\nexisting_storage_m3 = { field = \"TANK_GAL\", unit = \"gal\" }"),
                                      HasSubstr("\npump_lps = \"PUMP_LPS\"")));
    files[0].layers[0].fields = {ids("BLDGID"), numbers("NUM_STORY", 1, 3), field("ROOF_MATL", {"metal"}),
                                 numbers("PCT_GUTTERED", 0, 100)};
    EXPECT_THAT(text_of(files),
                AllOf(HasSubstr("\nid = \"BLDGID\""), HasSubstr("\nstoreys = \"NUM_STORY\""),
                      HasSubstr("\nmaterial = \"ROOF_MATL\""), HasSubstr("#connected_share = \"PCT_GUTTERED\"")));
}

TEST(DraftProject, ALayerOfOneWordIsSplitWhereItsCapitalsEnd) {
    std::vector<FileSeen> files = a_basin();
    files[2] = layer_file("/d/NHDFlowline.shp", "NHDFlowline", LayerShape2d::lines, 0.0, {});
    EXPECT_EQ(role_of(draft_project(files, "/d"), "/d/NHDFlowline.shp"), "streams.source");
}

TEST(DraftProject, ATableIsRainOnlyWhereItSaysSo) {
    const auto role = [](const std::string& path, std::vector<FieldSeen> fields) {
        return role_of(draft_project({layer_file(path, "t", LayerShape2d::none, 0.0, std::move(fields))}, "/d"), path);
    };
    const FieldSeen date = field("date", {"1991-10-01", "1991-10-02"});
    EXPECT_EQ(role("/d/air_temperature.csv", {date, numbers("value", -5, 30)}), "");
    EXPECT_EQ(role("/d/t.csv", {date, numbers("tmin", -5, 20), numbers("tmax", 0, 40)}), "temperature.minimum");
    EXPECT_EQ(role("/d/flow.csv", {date, numbers("cfs", 0, 20)}), "");
    EXPECT_EQ(role("/d/rain_gauges.csv", {date, numbers("A", 0, 90), numbers("B", 0, 90)}), "rain.source");
    EXPECT_EQ(role("/d/rain_gauges.csv", {date, numbers("Low Creek", 0, 90), numbers("High Ridge", 0, 90)}),
              "rain.source");
    EXPECT_EQ(role("/d/rain_gauges.csv", {date, numbers("Low Creek (mm)", 0, 90), numbers("High Ridge (mm)", 0, 90)}),
              "rain.source");
    for (const char* const name : {"prec_mm", "DailyRain", "rain24h"}) {
        EXPECT_EQ(role("/d/g.csv", {date, numbers(name, 0, 90)}), "rain.source") << name;
    }
    EXPECT_EQ(role("/d/t.csv", {date, numbers("Low (F)", 0, 90), numbers("High (F)", 0, 90)}), "temperature.minimum");
    const std::vector<FieldSeen> split{numbers("YEAR", 1990, 2020), numbers("MO", 1, 12), numbers("DY", 1, 31),
                                       numbers("RAIN_MM", 0, 90)};
    EXPECT_EQ(role("/d/m.csv", split), "rain.source");
    const FileSeen places = table("/d/stations.csv", {field("Station Number", {"a"}), field("Name", {"b"}),
                                                      numbers("Latitude", 38, 39), numbers("Longitude", -123, -122)});
    EXPECT_EQ(role_of(draft_project({places, table("/d/m.csv", split)}, "/d"), "/d/stations.csv"), "rain.stations");
    const std::string text = text_of({layer_file("/d/m.csv", "m", LayerShape2d::none, 0.0, split)});
    EXPECT_THAT(text, AllOf(HasSubstr("kind = \"daily\""), HasSubstr("\nunit = \"mm\"")));
    EXPECT_THAT(text_of({layer_file("/d/t.csv", "t", LayerShape2d::none, 0.0,
                                    {date, numbers("tmin", -5, 20), numbers("tmax", 0, 40)})}),
                AllOf(HasSubstr("[temperature]\nminimum = \"t.csv\""), HasSubstr("#unit = \"F\"")));
}

TEST(DraftProject, OfSeveralTablesOfRainTheLongestIsTakenAndTheOthersSaySo) {
    const auto table = [](const std::string& path, std::int64_t lines) {
        FileSeen file =
            layer_file(path, "t", LayerShape2d::none, 0.0, {field("date", {"1991-10-01"}), numbers("rain_mm", 0, 90)});
        file.layers[0].features = lines;
        return file;
    };
    const Draft draft = draft_project({table("/d/a.csv", 50), table("/d/b.csv", 900)}, "/d");
    EXPECT_EQ(role_of(draft, "/d/a.csv"), "");
    EXPECT_THAT(why_of(draft, "/d/a.csv"), HasSubstr("b.csv has more lines"));
    EXPECT_EQ(role_of(draft, "/d/b.csv"), "rain.source");
}

TEST(DraftProject, PlacesThatAreNoPointsYetAreToldWithTheCommandThatMakesThem) {
    const Draft draft = draft_project(
        {layer_file("/d/taps.csv", "taps", LayerShape2d::none, 0.0,
                    {field("id", {"a"}), field("APN", {"1"}), numbers("X", 5e5, 6e5), numbers("Y", 4e6, 5e6)})},
        "/d");
    EXPECT_EQ(role_of(draft, "/d/taps.csv"), "");
    EXPECT_THAT(why_of(draft, "/d/taps.csv"), HasSubstr("ogr2ogr -f GPKG taps.gpkg taps.csv"));
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
