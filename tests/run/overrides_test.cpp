// Measured values win over every input and change nothing else (method.md 9.1: keyed by roof or parcel, flagged
// `measured`, carried to re-issued footprints by overlap).
#include "eaveshed/measured/overrides.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <set>
#include <sstream>

#include "eaveshed/explain/explain.hpp"
#include "eaveshed/geometry/footprint_geometry.hpp"
#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/run/check.hpp"
#include "eaveshed/vector/vector_source.hpp"
#include "run/override_basin.hpp"
#include "support/expect_error.hpp"

namespace eaveshed {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;
using testing::number;
using testing::OutputFile;
using testing::OutputRow;
using testing::TempFolder;
using testing::text;

bool has_flag(const OutputRow& row, const std::string& flag) {
    return with_flag(text(row, "flags"), flag) == text(row, "flags");
}

// Every table of both the same but for the flag `measured`, which stands in the rows of `roofs` and `parcels`.
void expect_only_the_flag(const OverrideRun& run, const OverrideRun& plain, const std::set<std::string>& roofs,
                          const std::set<std::string>& parcels) {
    for (const auto& [table, rows] : run.tables) {
        if (table == "overrides") {
            continue;
        }
        const FileRows& expected = plain.tables.at(table);
        ASSERT_EQ(rows.size(), expected.size()) << table;
        for (std::size_t i = 0; i < rows.size(); ++i) {
            OutputRow row = expected[i];
            const bool flagged = (table == "roofs" && roofs.contains(text(row, "roof_id"))) ||
                                 (table == "parcels" && parcels.contains(text(row, "parcel_id")));
            if (flagged) {
                row["flags"] = with_flag(text(row, "flags"), "measured");
            }
            EXPECT_EQ(rows[i], row) << table << ' ' << i << ' '
                                    << text(row, table == "parcels" ? "parcel_id" : "roof_id");
        }
    }
}

std::string in_demo(const std::string& file) {
    return std::string(EAVESHED_SOURCE_DIR) + "/testdata/demo/" + file;
}

// The demo project with absolute paths, its own table of measured values left out, and these lines at its end.
std::string demo_project_with(const std::string& lines) {
    std::ifstream in(in_demo("basin.toml"));
    std::string project;
    bool left_out = false;
    for (std::string line; std::getline(in, line);) {
        left_out = line.starts_with('[') ? line.starts_with("[overrides]") : left_out;
        for (const std::string key : {"source = \"", "elevation = \""}) {
            if (line.starts_with(key)) {
                line.insert(key.size(), in_demo(""));
            }
        }
        project += left_out ? "" : line + '\n';
    }
    return project + lines;
}

std::string cell(const OutputRow& row, const std::string& column) {
    const auto value = number(row, column);
    return value ? fmt::format("{}", *value) : text(row, column);
}

// What the demo's inputs say of each roof and parcel, as a table of measured values.
std::string demo_inputs_as_measured(std::set<std::string>& roofs, std::set<std::string>& parcels) {
    std::string csv =
        "roof_id,parcel_id,eave_height_m,connected_share,material,people,irrigated_area_m2,season_use_m3,water_source,"
        "stream_distance_m,pump_lps,existing_storage_m3,status,use_x,use_y\n";
    const OutputFile buildings(in_demo("buildings.gpkg"));
    for (const OutputRow& row : buildings.rows("SELECT * FROM buildings WHERE use <> 'greenhouse'")) {
        const std::string values =
            cell(row, "eave_h_m") + "," + cell(row, "gutter_share") + "," + cell(row, "roof_mat");
        if (values != ",,") {
            csv += text(row, "bldg_id") + ",," + values + ",,,,,,,,,,\n";
            roofs.insert(text(row, "bldg_id"));
        }
    }
    std::map<std::string, std::string> taps;
    Findings findings;
    auto source = VectorSource::open("use_points", {in_demo("use_points.gpkg"), ""}, {"apn"}, "", findings);
    GeometryKit kit;
    for (Feature tap; source.next(tap);) {
        const Point place = kit.point(tap.wkb).value();
        taps.emplace(*tap.values.front(), fmt::format("{},{}", place.x, place.y));
    }
    const OutputFile file(in_demo("parcels.gpkg"));
    for (const OutputRow& row : file.rows("SELECT * FROM parcels")) {
        const std::string id = text(row, "apn");
        csv += "," + id + ",,,,";
        for (const char* const column :
             {"people", "irrigated_m2", "season_use_m3", "source", "stream_m", "pump_lps", "tank_m3", "status"}) {
            csv += cell(row, column) + ",";
        }
        csv += (taps.contains(id) ? taps[id] : ",") + "\n";
        parcels.insert(id);
    }
    return csv;
}

TEST(Overrides, EqualToTheInputTheyChangeOnlyTheFlag) {
    const TempFolder folder;
    std::set<std::string> roofs;
    std::set<std::string> parcels;
    folder.write("measured.csv", demo_inputs_as_measured(roofs, parcels));
    const OverrideRun plain = run_of(folder.write("plain.toml", demo_project_with("")), folder.file("plain.gpkg"));
    const OverrideRun run =
        run_of(folder.write("basin.toml", demo_project_with("[overrides]\nsource = \"measured.csv\"\n")),
               folder.file("out.gpkg"));
    // Every parcel has some value, so all roofs on one are flagged with it, whatever is known of themselves.
    for (const OutputRow& row : plain.tables.at("roofs")) {
        if (parcels.contains(text(row, "parcel_id"))) {
            roofs.insert(text(row, "roof_id"));
        }
    }
    EXPECT_GT(roofs.size(), 300U);
    EXPECT_EQ(parcels.size(), 208U);
    for (const std::string& outcome : run.outcomes()) {
        EXPECT_TRUE(outcome.starts_with("applied")) << outcome;
    }
    expect_only_the_flag(run, plain, roofs, parcels);
}

TEST(Overrides, OfOneRoofAndOneParcelTouchNoOther) {
    const OverrideRun run = run_with("roof_id,parcel_id,material,people\nR04,,metal,\n,PR05,,3\n");
    ASSERT_EQ(text(run_without().roof("R04"), "parcel_id"), "");  // of no parcel
    EXPECT_THAT(run.outcomes(), ElementsAre("applied R04", "applied PR05"));
    expect_only_the_flag(run, run_without(), {"R04", "R05"}, {"PR05"});
    EXPECT_THAT(run.warnings, Not(HasSubstr("overrides")));
    EXPECT_THAT(run.notes, HasSubstr("2 rows of measured values, applied by id"));
}

TEST(Overrides, OfARoofWinOverTheInput) {
    const OverrideRun run = run_with(
        "roof_id,eave_height_m,eave_elev_m,connected_share,material,runoff_coefficient\n"
        "R01,4.25,,,,\n"
        "R02,2.5,199.5,,,\n"
        "R04,,,0.4,tile,\n"
        "R07,,,,tile,0.5\n"
        "R08,,,,thatch,\n");
    const auto eave = [&](const char* id) { return number(run.roof(id), "eave_elev_m").value(); };
    const auto ground = [&](const char* id) { return number(run.roof(id), "ground_elev_m").value(); };
    EXPECT_DOUBLE_EQ(eave("R01"), ground("R01") + 4.25);
    EXPECT_DOUBLE_EQ(eave("R02"), 199.5);  // an elevation wins over a height
    EXPECT_EQ(number(run.roof("R04"), "connected_share"), 0.4);
    EXPECT_FALSE(has_flag(run.roof("R04"), "default_connected"));
    EXPECT_TRUE(has_flag(run_without().roof("R04"), "default_connected"));
    EXPECT_EQ(number(run.roof("R04"), "runoff_coefficient"), 0.84);  // harvest.runoff_coefficient.tile
    EXPECT_EQ(number(run.roof("R07"), "runoff_coefficient"), 0.5);
    EXPECT_TRUE(has_flag(run.roof("R08"), "default_material"));  // as if the input had held the word
    EXPECT_THAT(run.warnings, HasSubstr("materials without a runoff coefficient: \"thatch\""));
    for (const char* const id : {"R01", "R02", "R04", "R07", "R08"}) {
        EXPECT_TRUE(has_flag(run.roof(id), "measured")) << id;
    }
    EXPECT_FALSE(has_flag(run.roof("R10"), "measured"));
    // The harvest follows share and coefficient in proportion, but for the first flush.
    const double share = number(run.roof("R04"), "harvest_mean_m3").value() /
                         number(run_without().roof("R04"), "harvest_mean_m3").value();
    EXPECT_NEAR(share, 0.4 / 0.75 * 0.84 / 0.92, 0.01);
}

TEST(Overrides, OfAParcelWinOverTheInput) {
    const OverrideRun run = run_with(
        "parcel_id,people,irrigated_area_m2,season_use_m3,water_source,source_share,existing_storage_m3,pump_lps,"
        "status\n"
        "PR01,9,0,,,,,,\n"
        "PR03,,,31.5,,,,,\n"
        "PR05,,,,mains,,,,\n"
        "PR07,,,,,0.25,1.5,0.7,declined\n"
        "PR09,,,,,,,,Do-Not-Contact\n");
    const OverrideRun& plain = run_without();
    // 9 people x 190 L x 0.3 over August to October, 92 days; no garden. Written by hand from method.md 4.3.
    EXPECT_NEAR(number(run.roof("R01"), "demand_m3").value(), 9 * 0.19 * 0.3 * 92, 1e-9);
    EXPECT_NEAR(number(run.roof("R03"), "demand_m3").value(), 31.5, 1e-9);
    EXPECT_EQ(text(run.parcel("PR05"), "water_source"), "mains");
    EXPECT_EQ(number(run.roof("R05"), "instream_gain_lps"), 0.0);
    EXPECT_EQ(number(run.parcel("PR07"), "source_share"), 0.25);
    EXPECT_EQ(number(run.parcel("PR07"), "existing_storage_m3"), 1.5);
    EXPECT_EQ(number(run.parcel("PR07"), "pump_lps"), 0.7);
    EXPECT_EQ(text(run.parcel("PR07"), "contact_status"), "declined");
    EXPECT_EQ(text(run.parcel("PR09"), "contact_status"), "do_not_contact");
    EXPECT_EQ(text(plain.parcel("PR09"), "contact_status"), "candidate");
    for (const char* const id : {"01", "03", "05", "07", "09"}) {
        EXPECT_TRUE(has_flag(run.roof("R" + std::string(id)), "measured")) << id;
        EXPECT_TRUE(has_flag(run.parcel("PR" + std::string(id)), "measured")) << id;
    }
    EXPECT_FALSE(has_flag(run.parcel("PR11"), "measured"));
}

TEST(Overrides, AMeasuredUsePointStandsWhereItWasMeasured) {
    const SmallRoof roof = small_roofs().at(5);
    const Point place{roof.corner.x + 20.0, roof.corner.y - 12.0};
    const OverrideRun run = run_with(fmt::format("parcel_id,use_x,use_y\nPR05,{},{}\n", place.x, place.y));
    const OutputRow& point = run.row("use_points", "roof_id", "R05");
    EXPECT_NEAR(number(point, "use_elev_m").value(), ground_m(place), 0.05);  // bilinear between cells of 5 m
    EXPECT_EQ(number(point, "assumed"), 0.0);
    EXPECT_FALSE(has_flag(run.roof("R05"), "assumed_use_point"));
    EXPECT_TRUE(has_flag(run_without().roof("R05"), "assumed_use_point"));
    const OverrideRun far = run_with("parcel_id,use_x,use_y\nPR05,1,2\n");
    EXPECT_THAT(far.outcomes(), ElementsAre("not_usable"));
    EXPECT_THAT(far.warnings, HasSubstr("1 value of use_x, use_y not used: \"1 2\""));
    expect_only_the_flag(far, run_without(), {}, {});
}

// Where the pads stand in these tests: two metres from the wall, nearer than any setback lets the search go.
Point beside(const SmallRoof& roof) {
    const MultiPolygon outline = outline_of(roof);
    const Point a = outline.parts[0].outer[0];
    const Point b = outline.parts[0].outer[1];
    const double length = std::hypot(b.x - a.x, b.y - a.y);
    return {(a.x + b.x) / 2.0 + 2.0 * (b.y - a.y) / length, (a.y + b.y) / 2.0 - 2.0 * (b.x - a.x) / length};
}

TEST(Overrides, AMeasuredPadIsTheOnlyPlaceAndSettlesWhatAVisitSettles) {
    const SmallRoof roof = small_roofs().at(5);
    const Point place = beside(roof);
    const OverrideRun run = run_with(fmt::format("roof_id,pad_x,pad_y\nR05,{},{}\n", place.x, place.y));
    const OutputRow& pad = run.row("pads", "roof_id", "R05");
    EXPECT_LT(number(pad, "fill_distance_m").value(), 2.0 + 5.0 * std::sqrt(0.5));  // the centre of its cell of 5 m
    EXPECT_NE(text(pad, "waived_rule"), "");  // a rule that comes before the setbacks may fail too
    EXPECT_EQ(text(run_without().row("pads", "roof_id", "R05"), "waived_rule"), "");
    EXPECT_GT(number(run_without().roof("R05"), "fill_distance_m").value(), 1.5);
    EXPECT_NEAR(number(pad, "ground_elev_m").value(), ground_m(place), 0.4);
    EXPECT_TRUE(has_flag(run.roof("R05"), "measured"));
    // The parcel's storage stands there too.
    for (const OutputRow& row : run.tables.at("pads")) {
        if (text(row, "parcel_id") == "PR05") {
            EXPECT_EQ(number(row, "fill_distance_m"), number(pad, "fill_distance_m"));
        }
    }
}

TEST(Overrides, AMeasuredPadOutOfTheRoofsReachIsNotUsed) {
    const SmallRoof roof = small_roofs().at(5);
    const OverrideRun run =
        run_with(fmt::format("roof_id,pad_x,pad_y\nR05,{},{}\n", roof.corner.x - 80.0, roof.corner.y));
    EXPECT_THAT(run.outcomes(), ElementsAre("not_usable"));
    EXPECT_THAT(run.warnings, HasSubstr("within 60 m of the roof (siting.max_fill_m)"));
    expect_only_the_flag(run, run_without(), {}, {});
}

TEST(Overrides, HeightsThatNoPumpLiftsStillForbidAMeasuredPad) {
    const SmallRoof roof = small_roofs().at(5);
    const Point place = beside(roof);
    SmallBasin basin;
    basin.settings = "[siting]\nmax_lift_m = 0\n";
    const TempFolder folder;
    const OverrideRun run =
        run_with(folder, basin, fmt::format("roof_id,pad_x,pad_y,eave_height_m\nR05,{},{},0.5\n", place.x, place.y));
    EXPECT_EQ(text(run.roof("R05"), "delivery"), "no_pad");
    EXPECT_EQ(text(run.roof("R05"), "no_pad_reason"), "lift");
}

TEST(Overrides, AnEaveElevationAboveAnotherDatumIsUsedAndTold) {
    const OverrideRun run = run_with("roof_id,eave_elev_m\nR05,31.0\n");
    EXPECT_EQ(number(run.roof("R05"), "eave_elev_m"), 31.0);
    EXPECT_THAT(run.warnings, HasSubstr("lie below the ground or more than 30 m above it: 'R05'"));
}

TEST(Overrides, RowsThatContradictEachOtherAreNotApplied) {
    const OverrideRun run = run_with(
        "roof_id,parcel_id,material,connected_share,season_use_m3\n"
        "R04,,tile,,\n"
        "R04,,metal,0.5,\n"
        "R06,,tile,,\n"
        "R06,,tile,0.5,\n"
        ",PR05,,,30\n"
        ",PR05,,,30.0\n"
        ",PR07,,,30\n"
        ",PR07,,,31\n");
    EXPECT_THAT(run.outcomes(), ElementsAre("ambiguous", "ambiguous", "applied R06", "applied R06", "applied PR05",
                                            "applied PR05", "ambiguous", "ambiguous"));
    EXPECT_EQ(run.roof("R04"), run_without().roof("R04"));
    EXPECT_EQ(number(run.roof("R06"), "connected_share"), 0.5);
    EXPECT_NEAR(number(run.roof("R05"), "demand_m3").value(), 30.0, 1e-9);
    EXPECT_THAT(run.warnings, HasSubstr("row 1, roof 'R04': row 2 has another material for the same roof"));
    EXPECT_THAT(run.warnings, HasSubstr("row 8, parcel 'PR07': row 7 has another season_use_m3"));
}

TEST(Overrides, NothingEnteredByHandIsLostAndNobodyIsNamed) {
    const TempFolder folder;
    const OverrideRun run = run_with(folder, {},
                                     "roof_id,parcel_id,eave_height_m,people,water_source,date,who,note\n"
                                     "NOBODY,,2.75,,,2026-06-01,Ada Quill,ring twice\n"
                                     ",PR05,,many,lake,2026-06-02,Ada Quill,ring twice\n"
                                     ",,3,,,,,\n"
                                     "R05,,,,,,Ada Quill,\n");
    EXPECT_THAT(run.outcomes(), ElementsAre("no_match", "not_usable", "not_usable", "empty"));
    const OutputRow& lost = run.tables.at("overrides").at(0);
    EXPECT_EQ(number(lost, "eave_height_m"), 2.75);
    EXPECT_EQ(text(lost, "roof_id"), "NOBODY");
    EXPECT_EQ(text(lost, "date"), "2026-06-01");
    EXPECT_EQ(text(run.tables.at("overrides").at(1), "unused"), "people=many; water_source=lake");
    const OutputFile file(folder.file("out.gpkg"));
    EXPECT_THAT(file.record("override_not_applied.001"), HasSubstr("roof_id=NOBODY"));
    EXPECT_THAT(file.record("override_not_applied.001"), HasSubstr("eave_height_m=2.75"));
    EXPECT_THAT(file.record("override_not_applied.002"), HasSubstr("unused=people=many; water_source=lake"));
    EXPECT_EQ(file.record("count.override.no_match"), "1");
    EXPECT_EQ(file.record("count.override.not_usable"), "2");
    EXPECT_EQ(file.record("count.override.empty"), "1");
    EXPECT_EQ(file.record("count.override.applied"), "0");
    const std::string bytes = testing::bytes_of(folder.file("out.gpkg")) + run.warnings + run.notes;
    EXPECT_THAT(bytes, Not(HasSubstr("Quill")));
    EXPECT_THAT(bytes, Not(HasSubstr("ring twice")));
    expect_only_the_flag(run, run_without(), {}, {});
}

TEST(Overrides, ParcelRowsWithoutParcelsFindNoMatch) {
    SmallBasin basin;
    basin.parcels_crs.clear();
    const OverrideRun run = run_with("parcel_id,people\nPR05,3\n", basin);
    EXPECT_THAT(run.outcomes(), ElementsAre("no_match"));
    EXPECT_THAT(run.warnings, HasSubstr("no parcels are given"));
}

TEST(Overrides, ALayerSaysTheSameAsACsvWhateverItsReferenceSystem) {
    const SmallRoof roof = small_roofs().at(5);
    const Point pad = beside(roof);
    const std::string csv = fmt::format(
        "roof_id,parcel_id,eave_height_m,material,season_use_m3,pad_x,pad_y\nR05,,3.5,tile,,{},{}\n,PR07,,,30,,\n",
        pad.x, pad.y);
    const OverrideRun from_csv = run_with(csv);
    for (const std::string crs : {"EPSG:32610", "EPSG:4326"}) {
        const Transform to(crs_from_text(kBasinCrs, "test"), crs_from_text(crs, "test"), "test");
        const Point there = to(pad).value();
        const TempFolder folder;
        testing::LayerToWrite layer{.name = "measured", .type = wkbPolygon, .crs = crs};
        layer.fields = {
            {"roof_id"},        {"parcel_id"},     {"eave_height_m", OFTReal}, {"material"}, {"season_use_m3", OFTReal},
            {"pad_x", OFTReal}, {"pad_y", OFTReal}};
        layer.rows = {{wkt_in(crs, outline_of(roof)),
                       {"R05", std::nullopt, "3.5", "tile", std::nullopt, fmt::format("{:.17g}", there.x),
                        fmt::format("{:.17g}", there.y)}},
                      {"", {std::nullopt, "PR07", std::nullopt, std::nullopt, "30", std::nullopt, std::nullopt}}};
        testing::write_vector("GPKG", folder.file("measured.gpkg"), {layer});
        SmallBasin basin;
        basin.settings = "[overrides]\nsource = \"measured.gpkg\"\n";
        const OverrideRun from_layer = run_of(write_basin(folder, basin), folder.file("out.gpkg"));
        for (const std::string& table : result_tables()) {
            if (table != "overrides") {
                EXPECT_EQ(from_layer.tables.at(table), from_csv.tables.at(table)) << table << " in " << crs;
            }
        }
        EXPECT_EQ(from_layer.outcomes(), from_csv.outcomes());
    }
}

TEST(Overrides, ThreadsAndTilesDoNotChangeTheBytes) {
    const TempFolder folder;
    const Point pad = beside(small_roofs().at(5));
    const std::string csv =
        fmt::format("roof_id,parcel_id,eave_elev_m,season_use_m3,pad_x,pad_y\nR05,,150,,{},{}\n,PR07,,30,,\nX,,2,,,\n",
                    pad.x, pad.y);
    (void)run_with(folder, {}, csv);
    const std::string bytes = testing::bytes_of(folder.file("out.gpkg"));
    for (const How& how : {How{.threads = 4}, How{.threads = 3, .tile_side_m = 170.0}, How{.tile_side_m = 5000.0}}) {
        (void)run_of(folder.file("basin.toml"), folder.file("again.gpkg"), how);
        EXPECT_EQ(testing::bytes_of(folder.file("again.gpkg")) == bytes, true);
    }
}

TEST(Overrides, ExplainRecomputesTheRowAndNamesTheSource) {
    const TempFolder folder;
    const Point pad = beside(small_roofs().at(5));
    (void)run_with(folder, {},
                   fmt::format("roof_id,parcel_id,eave_height_m,eave_elev_m,connected_share,runoff_coefficient,"
                               "season_use_m3,water_source,pad_x,pad_y\n"
                               "R05,,3.5,,0.6,0.9,,,{},{}\n,PR05,,,,,30,spring,,\nR06,,,161.5,,,,,,\n",
                               pad.x, pad.y));
    const auto explained = [&](const std::string& id) {
        Findings findings;
        Progress progress(ProgressStyle::none);
        const ExplainedRoof roof = explain({folder.file("out.gpkg"), id, ""}, findings, progress);
        EXPECT_THAT(roof.differences, IsEmpty()) << id;
        EXPECT_EQ(findings.count(Severity::warning), 0U);
        EXPECT_TRUE(std::ranges::any_of(
            roof.run.inputs, [](const RecordedInput& input) { return input.setting == "overrides.source"; }));
        // Without the ends of lines, which may fall anywhere.
        std::istringstream words(document_text(explanation_document(roof)));
        std::string page;
        for (std::string word; words >> word;) {
            page += word + ' ';
        }
        return page;
    };
    const std::string page = explained("R05");
    // Height, share, coefficient, season use, source and the place of the pad.
    std::size_t named = 0;
    for (std::size_t at = page.find("measured (overrides)"); at != std::string::npos;
         at = page.find("measured (overrides)", at + 1)) {
        ++named;
    }
    EXPECT_GE(named, 6U) << page;
    EXPECT_THAT(page, HasSubstr("it fails building_setback first"));
    EXPECT_THAT(explained("R06"), HasSubstr("the measured elevation (overrides, eave_elev_m)"));
    EXPECT_THAT(explained("R08"), Not(HasSubstr("measured (overrides)")));
    // Another value in the file now: the recomputation says so.
    folder.write("measured.csv", "roof_id,eave_height_m\nR05,4.5\n");
    Findings findings;
    Progress progress(ProgressStyle::none);
    EXPECT_FALSE(explain({folder.file("out.gpkg"), "R05", ""}, findings, progress).differences.empty());
}

TEST(Overrides, CheckSaysWhichApplyAndWhichFindNoMatch) {
    const TempFolder folder;
    folder.write("measured.csv", "roof_id,eave_height_m\nR05,3\nR06,3\nX1,3\nX2,3\nX3,3\nX4,3\nX5,3\nX6,3\nX7,3\n");
    SmallBasin basin;
    basin.settings = "[overrides]\nsource = \"measured.csv\"\n";
    const std::string file = write_basin(folder, basin);
    Findings findings;
    const Project project = load_project(file, findings);
    const CheckReport report = check(project, findings);
    const std::string page = report_text(project, report, findings);
    EXPECT_THAT(page, HasSubstr("9 rows: 2 applied by id, 0 carried over, 0 ambiguous, 7 without a match"));
    EXPECT_THAT(page, HasSubstr("7 rows without a match, not applied: row 3, roof 'X1'"));
    EXPECT_THAT(page, HasSubstr("and 2 more"));
    EXPECT_THAT(page, HasSubstr("overrides.former"));
    // Strict: the same warning stops the run, and nothing is written.
    testing::expect_input_error([&] { (void)screened(file, folder.file("strict.gpkg"), {.strict = true}); },
                                {"warning"});
    EXPECT_FALSE(std::filesystem::exists(folder.file("strict.gpkg")));
}

TEST(Overrides, TheTableIsNeverTheOutput) {
    const TempFolder folder;
    testing::LayerToWrite layer{.name = "measured", .fields = {{"roof_id"}, {"eave_height_m", OFTReal}}};
    layer.rows = {{"", {"R05", "3"}}};
    testing::write_vector("GPKG", folder.file("measured.gpkg"), {layer});
    SmallBasin basin;
    basin.settings = "[overrides]\nsource = \"measured.gpkg\"\n";
    const std::string project = write_basin(folder, basin);
    testing::expect_input_error([&] { (void)screened(project, folder.file("measured.gpkg"), {.overwrite = true}); },
                                {"an input of overrides.source"});
}

}  // namespace
}  // namespace eaveshed
