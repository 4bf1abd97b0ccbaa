// Faults of the inputs: found before work starts, with file, what was found, what was wanted and what to do; nothing
// is written.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>

#include "eaveshed/run/check.hpp"
#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/expect_error.hpp"

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
