// Faults of the inputs: found before work starts, with file, what was found, what was wanted and what to do; nothing
// is written.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <chrono>
#include <filesystem>
#include <fstream>
#include <thread>

#include "eaveshed/run/check.hpp"
#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/expect_error.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using testing::TempFolder;
namespace fs = std::filesystem;

// A sound basin; each test spoils one thing of it and says what the error must name.
class InputFaults : public ::testing::Test {
protected:
    InputFaults() { write_basin(m_folder, m_basin); }

    void write_project(const std::string& from, const std::string& to) {
        std::string words = project_text(m_basin);
        const auto at = words.find(from);
        ASSERT_NE(at, std::string::npos);
        m_folder.write("basin.toml", words.replace(at, from.size(), to));
    }
    [[nodiscard]] std::string project() const { return m_folder.file("basin.toml"); }
    [[nodiscard]] std::string output() const { return m_folder.file("out.gpkg"); }

    // The run stops with exit class 2 and these words, and leaves nothing; a look says the same.
    void expect_fault(const std::vector<std::string>& parts) {
        testing::expect_input_error([&] { screened(project(), output()); }, parts);
        EXPECT_FALSE(fs::exists(output()));
        EXPECT_FALSE(fs::exists(output() + ".work"));
        std::string told;
        try {
            Findings findings;
            const Project loaded = load_project(project(), findings);
            EXPECT_EQ(requested_stop(), 0);
            static_cast<void>(check(loaded, findings));
            for (const Finding& finding : findings.list()) {
                told += finding.severity == Severity::error ? finding_line(finding) : "";
            }
        } catch (const Error& error) {
            told = error.what();
        }
        for (const std::string& part : parts) {
            EXPECT_THAT(told, HasSubstr(part));
        }
    }

    SmallBasin m_basin;
    TempFolder m_folder;
};

TEST_F(InputFaults, TheBasinOfTheseTestsIsSound) {
    screened(project(), output());
    EXPECT_TRUE(fs::exists(output()));
}

TEST_F(InputFaults, FootprintsWithoutACrs) {
    testing::LayerToWrite layer = layer_in("buildings", "");
    layer.fields = {{"id"}, {"mat"}, {"floors"}, {"apn"}};
    layer.rows = {{testing::square_wkt(kX0, kY0, 20.0), {"a", "metal", "1", std::nullopt}}};
    fs::remove(m_folder.file("buildings.gpkg"));
    testing::write_vector("GPKG", m_folder.file("buildings.gpkg"), {layer});
    expect_fault({"footprints", "buildings.gpkg", "coordinate reference system"});
}

TEST_F(InputFaults, ATerrainWithoutACrs) {
    testing::RasterSpec spec;
    spec.crs = "";
    spec.bands = {{1.0}};
    testing::write_raster(m_folder.file("dem.tif"), spec);
    expect_fault({"terrain.elevation", "dem.tif", "coordinate reference system"});
}

TEST_F(InputFaults, ATerrainOfAnotherPlaceShowsBothBoxes) {
    testing::RasterSpec spec;
    spec.transform = {600000.0, 10.0, 0.0, 4300000.0, 0.0, -10.0};
    spec.bands = {{1.0}};
    testing::write_raster(m_folder.file("dem.tif"), spec);
    expect_fault({"dem.tif", "no overlap", "x 600000 to 600010", "y 4.29999e+06 to 4.3e+06", "x 500", "EPSG:32610"});
}

TEST_F(InputFaults, RainOfAnotherPlaceShowsBothBoxes) {
    testing::RasterSpec spec;
    spec.crs = "EPSG:4326";
    spec.transform = {20.0, 0.5, 0.0, -34.0, 0.0, -0.5};
    spec.bands.assign(24, {10.0});
    spec.unit = "mm";
    testing::write_raster(m_folder.file("rain.tif"), spec);
    expect_fault({"rain.tif", "no overlap", "(in EPSG:4326"});
}

TEST_F(InputFaults, ParcelsOfAnotherPlaceShowBothBoxes) {
    testing::LayerToWrite layer = layer_in("parcels", kBasinCrs);
    layer.fields = {{"apn"}, {"people"}, {"garden"}, {"source"}};
    layer.rows = {{testing::square_wkt(kX0 + 9e4, kY0, 20.0), {"a", "1", "1", "creek"}}};
    fs::remove(m_folder.file("parcels.gpkg"));
    testing::write_vector("GPKG", m_folder.file("parcels.gpkg"), {layer});
    expect_fault({"parcels.gpkg", "no overlap", "x 590000 to 590020"});
}

TEST_F(InputFaults, AWrongLayerListsTheOnesThereAre) {
    write_project("id = \"id\"", "layer = \"houses\"\nid = \"id\"");
    expect_fault({"buildings.gpkg", "houses", "buildings"});
}

TEST_F(InputFaults, AWrongFieldListsTheOnesThereAre) {
    write_project("material = \"mat\"", "material = \"roof\"");
    expect_fault({"buildings.gpkg", "no field 'roof'", "id, mat, floors, apn"});
}

TEST_F(InputFaults, AMissingFileIsNamed) {
    fs::remove(m_folder.file("dem.tif"));
    expect_fault({"terrain.elevation", "dem.tif"});
}

TEST_F(InputFaults, AnUnknownKeyGetsASuggestion) {
    write_project("material =", "materials =");
    expect_fault({"basin.toml", "materials", "material"});
}

TEST_F(InputFaults, AValueOutOfRangeNamesTheRange) {
    m_basin.settings = "[storage]\nreliability = 1.7\n";
    m_folder.write("basin.toml", project_text(m_basin));
    expect_fault({"storage.reliability", "1.7", "1"});
}

TEST_F(InputFaults, RainWithoutAUnit) {
    testing::RasterSpec spec = raster_over_basin(kBasinCrs, 1000.0, 1000.0, 12 * kYears, rain_mm);
    testing::write_raster(m_folder.file("rain.tif"), spec);
    expect_fault({"rain", "rain.tif", "rain.unit"});
}

TEST_F(InputFaults, ARainUnitThatTheFileContradicts) {
    write_project("start = \"1990-11\"", "start = \"1990-11\"\nunit = \"in\"");
    expect_fault({"rain.tif", "mm", "in"});
}

TEST_F(InputFaults, AFilterThatLeavesNothing) {
    write_project("id = \"id\"", "where = \"floors = 99\"\nid = \"id\"");
    expect_fault({"buildings.gpkg", "floors = 99"});
}

TEST_F(InputFaults, AllFaultsAreToldAtOnce) {
    fs::remove(m_folder.file("dem.tif"));
    fs::remove(m_folder.file("rain.tif"));
    write_project("material = \"mat\"", "material = \"roof\"");
    expect_fault({"dem.tif", "rain.tif", "'roof'"});
    Findings findings;
    const Project loaded = load_project(project(), findings);
    const CheckReport report = check(loaded, findings);
    EXPECT_EQ(findings.count(Severity::error), 3U);
    const std::string text = report_text(loaded, report, findings);
    EXPECT_THAT(text, AllOf(HasSubstr("3 errors"), HasSubstr("dem.tif"), HasSubstr("rain.tif"), HasSubstr("roof")));
    ASSERT_EQ(report.understood.size(), 3U);  // the parcels, their fields of quantities, and the season
    EXPECT_EQ(report.understood[0].input, "parcels");
}

TEST_F(InputFaults, OneFileForTwoInputsNamesBoth) {
    write_project(
        "source = \"parcels.gpkg\"\nid = \"apn\"\npeople = \"people\"\nirrigated_area_m2 = \"garden\"\n"
        "water_source = \"source\"",
        "source = \"./buildings.gpkg\"");
    expect_fault({"parcels.source", "buildings.gpkg", "the same layer as footprints.source", "one of its own"});
    m_folder.write("basin.toml", project_text(m_basin));
    write_project("elevation = \"dem.tif\"", "elevation = \"dem.tif\"\nsurface = \"dem.tif\"");
    expect_fault({"terrain.surface", "the same file as terrain.elevation"});
}

TEST_F(InputFaults, OneFileUnderTwoNamesIsOneFile) {
    fs::create_hard_link(m_folder.file("buildings.gpkg"), m_folder.file("parcels2.gpkg"));
    write_project(
        "source = \"parcels.gpkg\"\nid = \"apn\"\npeople = \"people\"\nirrigated_area_m2 = \"garden\"\n"
        "water_source = \"source\"",
        "source = \"parcels2.gpkg\"");
    expect_fault({"parcels2.gpkg", "the same layer as footprints.source"});
}

TEST_F(InputFaults, TwoExclusionsOfOneLayerAreASlip) {
    const std::string table = "[[exclusions]]\nsource = \"areas.gpkg\"\n";
    testing::LayerToWrite areas = layer_in("areas", kBasinCrs);
    areas.rows = {{testing::square_wkt(kX0 + 300.0, kY0, 50.0)}};
    testing::write_vector("GPKG", m_folder.file("areas.gpkg"), {areas});
    m_basin.settings = table + table;
    m_folder.write("basin.toml", project_text(m_basin));
    expect_fault({"exclusions", "areas.gpkg", "the same layer as exclusions.1.source"});
}

// Other layers of one file, and what tanks keep away from as well.
TEST_F(InputFaults, OneFileMayHoldSeveralInputsAndOneLayerKeepTanksAwayToo) {
    testing::LayerToWrite ways = layer_in("ways", kBasinCrs);
    ways.type = wkbLineString;
    ways.rows = {{fmt::format("LINESTRING({} {},{} {})", kX0, kY0, kX0 + 900.0, kY0 + 900.0)}};
    testing::LayerToWrite areas = layer_in("areas", kBasinCrs);
    areas.rows = {{testing::square_wkt(kX0 + 300.0, kY0, 50.0)}};
    testing::write_vector("GPKG", m_folder.file("more.gpkg"), {ways, areas});
    m_basin.settings =
        "[roads]\nsource = \"more.gpkg\"\nlayer = \"ways\"\n"
        "[[exclusions]]\nsource = \"more.gpkg\"\nlayer = \"ways\"\nsetback_m = 3\n"
        "[[exclusions]]\nsource = \"more.gpkg\"\nlayer = \"areas\"\n"
        "[[exclusions]]\nsource = \"buildings.gpkg\"\n";
    m_folder.write("basin.toml", project_text(m_basin));
    screened(project(), output());
    EXPECT_TRUE(fs::exists(output()));
}

// Points in a table, in the footprints' reference system or in degrees, are the points of a layer.
TEST_F(InputFaults, PointsOfATableStandWhereTheirShapesWould) {
    const Transform degrees(crs_from_text(kBasinCrs, "test"), crs_from_text("EPSG:4326", "test"), "test");
    testing::LayerToWrite points = layer_in("points", kBasinCrs);
    points.type = wkbPoint;
    std::string metres_csv = "x;y\n";
    std::string degrees_csv = "lon,lat\n";
    for (const SmallRoof& roof : m_basin.roofs) {
        const Point at{roof.corner.x - 8.0, roof.corner.y - 6.0};
        const Point there = degrees(at).value();
        points.rows.push_back({fmt::format("POINT({} {})", at.x, at.y)});
        metres_csv += fmt::format("{},0;{},00\n", at.x, at.y);
        degrees_csv += fmt::format("{:.15g},{:.15g}\n", there.x, there.y);
    }
    testing::write_vector("GPKG", m_folder.file("points.gpkg"), {points});
    m_folder.write("metres.csv", metres_csv);
    m_folder.write("degrees.csv", degrees_csv);
    std::vector<std::vector<testing::OutputRow>> rows;
    for (const char* const file : {"points.gpkg", "metres.csv", "degrees.csv"}) {
        m_basin.settings = fmt::format("[use_points]\nsource = \"{}\"\n", file);
        m_folder.write("basin.toml", project_text(m_basin));
        screened(project(), output(), {.overwrite = true});
        rows.push_back(testing::OutputFile(output()).rows("SELECT * FROM use_points ORDER BY fid"));
    }
    ASSERT_FALSE(rows[0].empty());
    EXPECT_EQ(rows[1], rows[0]);
    ASSERT_EQ(rows[2].size(), rows[0].size());
    for (std::size_t i = 0; i < rows[0].size(); ++i) {
        EXPECT_NEAR(*testing::number(rows[2][i], "use_elev_m"), *testing::number(rows[0][i], "use_elev_m"), 1e-6);
    }
}

// The fingerprints of the inputs are taken before the work folder is made, and again when all is read.
TEST_F(InputFaults, AnInputThatChangesDuringTheRunStopsIt) {
    std::jthread writer([this](const std::stop_token& stop) {
        while (!stop.stop_requested()) {
            if (fs::exists(output() + ".work")) {
                fs::last_write_time(m_folder.file("rain.tif"),
                                    fs::file_time_type::clock::now() + std::chrono::hours(1));
                return;
            }
            std::this_thread::yield();
        }
    });
    try {
        screened(project(), output());
        ADD_FAILURE() << "no error";
    } catch (const Error& error) {
        EXPECT_EQ(error.fault(), Fault::working);
        EXPECT_THAT(error.what(), AllOf(HasSubstr("rain.source"), HasSubstr("rain.tif"), HasSubstr("changed")));
    }
    EXPECT_FALSE(fs::exists(output()));
}

// Faults of the output's name: errors before any work, and what stood there stands.
TEST_F(InputFaults, AnOutputThatExistsIsKept) {
    m_folder.write("out.gpkg", "old");
    testing::expect_input_error([&] { screened(project(), output()); }, {"out.gpkg", "exists", "--overwrite"});
    EXPECT_EQ(fs::file_size(output()), 3U);
    screened(project(), output(), {.overwrite = true});
    EXPECT_GT(fs::file_size(output()), 3U);
}

TEST_F(InputFaults, AnOutputThatIsAnInputIsRefusedEvenToOverwrite) {
    testing::LayerToWrite streams = layer_in("streams", kBasinCrs);
    streams.type = wkbLineString;
    streams.rows = {{fmt::format("LINESTRING({} {},{} {})", kX0, kY0, kX0 + 900.0, kY0 + 900.0)}};
    testing::write_vector("GPKG", m_folder.file("streams.gpkg"), {streams});
    m_basin.settings = "[streams]\nsource = \"streams.gpkg\"\n";
    m_folder.write("basin.toml", project_text(m_basin));
    for (const char* const input : {"buildings.gpkg", "parcels.gpkg", "streams.gpkg"}) {
        const auto size = fs::file_size(m_folder.file(input));
        testing::expect_input_error([&] { screened(project(), m_folder.file(input), {.overwrite = true}); },
                                    {input, "input"});
        EXPECT_EQ(fs::file_size(m_folder.file(input)), size);
    }
}

TEST_F(InputFaults, AnInputUnderAnotherNameIsKnownToo) {
    fs::create_symlink(m_folder.file("buildings.gpkg"), m_folder.file("link.gpkg"));
    fs::create_hard_link(m_folder.file("parcels.gpkg"), m_folder.file("hard.gpkg"));
    for (const char* const name : {"link.gpkg", "hard.gpkg"}) {
        testing::expect_input_error([&] { screened(project(), m_folder.file(name), {.overwrite = true}); },
                                    {name, "input"});
    }
}

TEST_F(InputFaults, AnOutputFolderThatIsMissing) {
    testing::expect_input_error([&] { screened(project(), m_folder.file("no/where/out.gpkg")); },
                                {"out.gpkg", "no folder", "no/where"});
    EXPECT_FALSE(fs::exists(m_folder.file("no")));
}

TEST_F(InputFaults, AnOutputThatIsNoGeoPackageOrHasNoName) {
    testing::expect_input_error([&] { screened(project(), m_folder.file("out.shp")); }, {"out.shp", ".gpkg"});
    testing::expect_input_error([&] { screened(project(), ""); }, {"basin.toml", "basin.output"});
}

TEST_F(InputFaults, RoofIdsThatStandTwiceAreToldAndKept) {
    write_project("id = \"id\"", "id = \"mat\"");
    Findings findings;
    Progress progress(ProgressStyle::none);
    ScreenOptions options;
    options.output = m_folder.file("ids.gpkg");
    const ScreenResult result = screen(load_project(project(), findings), options, findings, progress);
    EXPECT_EQ(result.counts.rows(), small_roofs().size());
    std::string told;
    for (const Finding& finding : findings.list()) {
        told += finding.severity == Severity::warning ? to_text(finding.trouble) : "";
    }
    EXPECT_THAT(told, HasSubstr("22 footprints whose id stood before, such as"));
}

TEST_F(InputFaults, StrictRunsStopOnWarnings) {
    m_basin.settings = "[use_points]\nsource = \"points.gpkg\"\n";
    testing::LayerToWrite points = layer_in("points", kBasinCrs);
    points.type = wkbPoint;
    points.rows = {{fmt::format("POINT({} {})", kX0 + 700.0, kY0 + 350.0)}};  // in no parcel
    testing::write_vector("GPKG", m_folder.file("points.gpkg"), {points});
    m_folder.write("basin.toml", project_text(m_basin));
    testing::expect_input_error([&] { screened(project(), output(), {.strict = true}); }, {"1 warning,", "--strict"});
    EXPECT_FALSE(fs::exists(output()));
    screened(project(), output());
    EXPECT_TRUE(fs::exists(output()));
}

}  // namespace
}  // namespace eaveshed
