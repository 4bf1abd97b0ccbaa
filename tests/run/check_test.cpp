// What a look at a project finds before the run: the same words that the run would say afterwards.
#include "eaveshed/run/check.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <set>

#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;
using testing::TempFolder;
namespace fs = std::filesystem;

std::string lines_of(const Findings& findings) {
    std::string text;
    for (const Finding& finding : findings.list()) {
        text += finding_line(finding) + "\n";
    }
    return text;
}

class ALook : public ::testing::Test {
protected:
    // Each of the parts is said by the look and, afterwards, by the run.
    void expect_said(const std::vector<std::string>& parts) {
        const std::string looked = look();
        const std::string ran = run();
        for (const std::string& part : parts) {
            EXPECT_THAT(looked, HasSubstr(part));
            EXPECT_THAT(ran, HasSubstr(part));
        }
    }
    std::string look() {
        Findings findings;
        const Project project = load_project(m_folder.file("basin.toml"), findings);
        m_report = check(project, findings);
        m_page = report_text(project, m_report, findings);
        return lines_of(findings);
    }
    std::string run() {
        Findings findings;
        ScreenOptions options;
        options.output = m_folder.file("out.gpkg");
        options.overwrite = true;
        Progress progress(ProgressStyle::none);
        (void)screen(load_project(m_folder.file("basin.toml"), findings), options, findings, progress);
        return lines_of(findings);
    }
    void rewrite(const std::string& file, const testing::LayerToWrite& layer) {
        fs::remove(m_folder.file(file));
        testing::write_vector("GPKG", m_folder.file(file), {layer});
    }

    SmallBasin m_basin;
    TempFolder m_folder;
    CheckReport m_report;
    std::string m_page;
};

TEST_F(ALook, LeavesNothingAndFindsNothingWrongWithASoundBasin) {
    m_basin.terrain_settings = "coarse_cell_m = 10\n";
    write_basin(m_folder, m_basin);
    std::set<std::string> before;
    for (const auto& entry : fs::directory_iterator(m_folder.path())) {
        before.insert(entry.path().filename().string());
    }
    EXPECT_THAT(look(), Not(HasSubstr("warning")));
    std::set<std::string> after;
    for (const auto& entry : fs::directory_iterator(m_folder.path())) {
        after.insert(entry.path().filename().string());
    }
    EXPECT_EQ(before, after);
}

// The rain of small_basin.hpp begins with a November: of the 815 mm of its months 2, 12 and 55 are August's,
// September's and October's.
TEST_F(ALook, CountsWhatAssumptionsWillDecide) {
    write_basin(m_folder, m_basin);
    (void)look();
    ASSERT_TRUE(m_report.basis);
    EXPECT_EQ(m_report.basis->roofs, 24U);
    const auto roofs = [&](Flag flag) {
        for (const AssumedRoofs& row : m_report.basis->assumed) {
            if (row.assumption->flag == flag) {
                return row.roofs;
            }
        }
        return std::uint64_t{0};
    };
    EXPECT_EQ(roofs(Flag::default_material), 0U);
    EXPECT_EQ(roofs(Flag::default_eave), 0U);        // storeys are given
    EXPECT_EQ(roofs(Flag::default_connected), 24U);  // no field
    EXPECT_EQ(roofs(Flag::default_et0), 24U);        // no raster
    EXPECT_EQ(roofs(Flag::default_demand), 12U);     // every second roof has no parcel
    EXPECT_EQ(roofs(Flag::unknown_source), 12U);
    EXPECT_EQ(roofs(Flag::assumed_use_point), 24U);
    EXPECT_EQ(roofs(Flag::coarse_elevation), 24U);  // cells of 5 m
    ASSERT_TRUE(m_report.mean_year_mm);
    EXPECT_NEAR(
        sum_over(*m_report.mean_year_mm, MonthSet(std::vector<int>{8, 9, 10})) / sum_of_year(*m_report.mean_year_mm),
        69.0 / 815.0, 1e-9);
    EXPECT_THAT(m_page, AllOf(HasSubstr("The answers will rest on"), HasSubstr("people or garden assumed"),
                              HasSubstr("of it in the forbearance months")));
}

TEST_F(ALook, CountsRoofsBeyondTheEdgeOfTheGrids) {
    m_basin.roofs.push_back({.id = "FAR", .corner = {kX0 + 20000.0, kY0}});
    write_basin(m_folder, m_basin);
    const std::string looked = look();
    EXPECT_THAT(looked, HasSubstr("dem.tif"));
    EXPECT_THAT(looked, HasSubstr("1 of 25 roofs beyond its edge"));
    EXPECT_EQ(m_report.basis->beyond_terrain, 1U);
    EXPECT_EQ(m_report.basis->beyond_rain, 1U);
}

TEST_F(ALook, FindsFootprintsWithoutAShapeAndWithRepeatedIds) {
    write_basin(m_folder, m_basin);
    testing::LayerToWrite layer = layer_in("buildings", kBasinCrs);
    layer.fields = {{"id"}, {"mat"}, {"floors", OFTInteger}, {"apn"}};
    for (const SmallRoof& roof : m_basin.roofs) {
        layer.rows.push_back({wkt_of(outline_of(roof)), {roof.id, roof.material, roof.storeys, std::nullopt}});
    }
    layer.rows.push_back({"", {"EMPTY", "metal", "1", std::nullopt}});
    layer.rows.push_back({"", {"EMPTY2", "metal", "1", std::nullopt}});
    layer.rows[3].values[0] = "R02";
    rewrite("buildings.gpkg", layer);
    expect_said({"2 footprints without a usable polygon", "1 footprints whose id stood before, such as \"R02\""});
}

// Three roofs in a row have a number that can be read, three one that cannot; the look and the run tell the same.
TEST_F(ALook, FindsNumbersThatAreWrittenOtherwiseOrCannotBeMeant) {
    write_basin(m_folder, m_basin);
    const std::vector<std::string> heights{"3,2", "1.234,5 cm", "9 ft", "1,234", "1e9", "-5"};
    testing::LayerToWrite layer = layer_in("buildings", kBasinCrs);
    layer.fields = {{"id"}, {"eave"}, {"share"}};
    for (std::size_t i = 0; i < heights.size(); ++i) {
        const SmallRoof& roof = m_basin.roofs[i];
        layer.rows.push_back({wkt_of(outline_of(roof)), {i == 2 ? " " : roof.id, heights[i], i < 3 ? "75 %" : "75"}});
    }
    rewrite("buildings.gpkg", layer);
    std::string words = project_text(m_basin);
    words.replace(words.find("material = \"mat\"\nstoreys = \"floors\"\nparcel = \"apn\"\n"), 51,
                  "eave_height = \"eave\"\nconnected_share = \"share\"\n");
    m_folder.write("basin.toml", words);
    expect_said(
        {"1 footprint with a number that can be read in two ways in the field \"eave\" (footprints.eave_height), "
         "the first \"1,234\"",
         "2 footprints with a number that cannot be meant in the field \"eave\" (footprints.eave_height), the "
         "first \"1e9\"; wanted 0 to 1000 m",
         "2 footprints with a decimal comma or signs between thousands in the field \"eave\" "
         "(footprints.eave_height), the first \"3,2\"",
         "3 footprints with a number that cannot be meant in the field \"share\" (footprints.connected_share), "
         "the first \"75\"; wanted 0 to 1",
         "write percent with their sign", "1 footprint without an id"});
    const testing::OutputFile file(m_folder.file("out.gpkg"));
    const auto rows = file.rows("SELECT * FROM roofs ORDER BY fid");
    ASSERT_EQ(rows.size(), heights.size());
    const double known[] = {3.2, 12.345, 9.0 * 0.3048};
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const double height = *testing::number(rows[i], "eave_elev_m") - *testing::number(rows[i], "ground_elev_m");
        EXPECT_NEAR(height, i < 3 ? known[i] : 2.8, 1e-9) << heights[i];
        EXPECT_EQ(testing::number(rows[i], "connected_share"), 0.75);
        const std::string flags = testing::text(rows[i], "flags");
        EXPECT_EQ(flags.find("default_connected") == std::string::npos, i < 3) << heights[i];
        EXPECT_EQ(flags.find("default_eave") == std::string::npos, i < 3) << heights[i];
    }
    EXPECT_EQ(testing::text(rows[2], "roof_id"), "3");  // the number of the feature
}

TEST_F(ALook, FindsFootprintsThatNameAParcelThatIsNotThere) {
    for (std::size_t i = 0; i < 3; ++i) {
        m_basin.roofs[i].parcel = "P-R0" + std::to_string(i);  // another spelling of PR01
    }
    m_basin.roofs[3].parcel = "PR03";
    write_basin(m_folder, m_basin);
    expect_said({"3 footprints that name a parcel that is not there, such as \"P-R00\"", "footprints.parcel"});
}

TEST_F(ALook, FindsTextThatIsNotUtf8) {
    m_basin.parcels_crs = "";
    write_basin(m_folder, m_basin);
    testing::LayerToWrite layer = layer_in("b", kBasinCrs);
    layer.fields = {{"id"}, {"mat"}};
    layer.rows = {{wkt_of(outline_of(m_basin.roofs[0])), {"A", "m\xC3\xA9tal"}}};
    layer.options = {"ENCODING=ISO-8859-1"};
    testing::write_vector("ESRI Shapefile", m_folder.file("b.shp"), {layer});
    std::string words = project_text(m_basin);
    words.replace(words.find("buildings.gpkg"), 14, "b.shp");
    words.replace(words.find("storeys = \"floors\"\nparcel = \"apn\"\n"), 34, "");
    m_folder.write("basin.toml", words + "[harvest.runoff_coefficient]\n\"m\xC3\xA9tal\" = 0.5\n");
    EXPECT_THAT(look(), Not(HasSubstr("UTF-8")));  // the .cpg file says what the bytes mean
    m_folder.write("b.cpg", "NONE-SUCH");
    expect_said({"1 footprint with text that is not UTF-8, such as A", ".cpg"});
}

TEST_F(ALook, FindsMaterialsThatMatchNothingWithTheirWordsAndCounts) {
    for (std::size_t i = 0; i < 5; ++i) {
        m_basin.roofs[i].material = i < 3 ? "asfalt" : "zinc ";
    }
    write_basin(m_folder, m_basin);
    expect_said({"5 footprints whose material matches nothing in the table: \"asfalt\" (3), \"zinc \" (2)"});
}

TEST_F(ALook, FindsParcelsWithoutAShapeAndWithRepeatedIds) {
    write_basin(m_folder, m_basin);
    testing::LayerToWrite layer = layer_in("parcels", kBasinCrs);
    layer.fields = {{"apn"}, {"people", OFTReal}, {"garden", OFTReal}, {"source"}};
    layer.rows = {{testing::square_wkt(kX0 + 140.0, kY0 + 190.0, 60.0), {"P1", "3", "150", "creek"}},
                  {testing::square_wkt(kX0 + 360.0, kY0 + 190.0, 60.0), {"P1", "3", "150", "creek"}},
                  {"", {"P2", "3", "150", "creek"}}};
    rewrite("parcels.gpkg", layer);
    expect_said({"1 parcels without a usable polygon", "1 parcels whose id stood before"});
}

TEST_F(ALook, FindsUsePointsAndMeasuredValuesWithoutAMatch) {
    m_basin.settings = "[use_points]\nsource = \"taps.gpkg\"\n[overrides]\nsource = \"measured.csv\"\n";
    testing::LayerToWrite taps = layer_in("taps", kBasinCrs);
    taps.type = wkbPoint;
    taps.rows = {{"POINT(500130 4191125)", {}}};
    testing::write_vector("GPKG", m_folder.file("taps.gpkg"), {taps});
    m_folder.write("measured.csv", "roof_id,eave_height_m\nnobody,3.1\n");
    write_basin(m_folder, m_basin);
    expect_said({"1 use points that belong to no parcel", "1 row without a match"});
}

TEST_F(ALook, FindsARasterThatWasCutShort) {
    m_basin.cell_m = 2.0;  // so that it has many blocks
    write_basin(m_folder, m_basin);
    const std::string dem = m_folder.file("dem.tif");
    fs::resize_file(dem, fs::file_size(dem) / 2);
    const std::string looked = look();
    EXPECT_THAT(looked, AllOf(HasSubstr("dem.tif"), HasSubstr("blocks beyond the end of the file: it was cut short")));
}

// Whatever a run would refuse of its output's name, a look refuses too; a result that stands there is only told.
TEST_F(ALook, JudgesTheOutputAsARunWould) {
    SmallBasin basin;
    write_basin(m_folder, basin);
    const auto named = [&](const std::string& output) {
        m_folder.write("basin.toml", "[basin]\noutput = \"" + output + "\"\n" + project_text(basin));
        return look();
    };
    EXPECT_THAT(named("no/such/out.gpkg"), AllOf(HasSubstr("error: "), HasSubstr("no folder")));
    EXPECT_THAT(named("buildings.gpkg"), AllOf(HasSubstr("error: "), HasSubstr("an input of")));
    EXPECT_THAT(named("out.shp"), AllOf(HasSubstr("error: "), HasSubstr(".gpkg")));
    EXPECT_THAT(named("new.gpkg"), Not(HasSubstr("error: ")));
    m_folder.write("old.gpkg", "old");
    EXPECT_THAT(named("old.gpkg"), AllOf(Not(HasSubstr("error: ")), HasSubstr("--overwrite")));
}

}  // namespace
}  // namespace eaveshed
