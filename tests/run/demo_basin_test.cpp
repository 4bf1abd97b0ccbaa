// The demo basin from end to end: testdata/demo/README.md says what stands in it on purpose.
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <set>
#include <sstream>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/record/headline.hpp"
#include "eaveshed/record/output_rows.hpp"
#include "eaveshed/run/check.hpp"
#include "run/run_project.hpp"
#include "support/geopackage_checks.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using testing::by_roof;
using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::ElementsAreArray;
using ::testing::Not;
using testing::number;
using testing::OutputFile;
using testing::OutputRow;
using testing::TempFolder;
using testing::text;

// One run for all tests of this file.
class DemoBasin : public ::testing::Test {
protected:
    static void SetUpTestSuite() {
        s_folder = new TempFolder;
        s_result = new ScreenResult(screened(demo_project(), s_folder->file("demo.gpkg"), {.threads = 2}));
        s_roofs = new std::vector<OutputRow>(OutputFile(output()).rows("SELECT * FROM roofs ORDER BY fid"));
        s_by_id = new std::map<std::string, OutputRow>(by_roof(*s_roofs));
    }
    static void TearDownTestSuite() {
        delete s_by_id;
        delete s_roofs;
        delete s_result;
        delete s_folder;
    }
    static std::string output() { return s_folder->file("demo.gpkg"); }
    static const OutputRow& roof(const std::string& id) { return s_by_id->at(id); }
    static std::set<std::string> flags(const std::string& id) {
        std::istringstream words(text(roof(id), "flags"));
        std::set<std::string> found;
        for (std::string flag; std::getline(words, flag, ',');) {
            found.insert(flag);
        }
        return found;
    }

    static inline TempFolder* s_folder = nullptr;
    static inline ScreenResult* s_result = nullptr;
    static inline std::vector<OutputRow>* s_roofs = nullptr;
    static inline std::map<std::string, OutputRow>* s_by_id = nullptr;
};

TEST_F(DemoBasin, EveryRowOfTheInputStandsInItsOrder) {
    const OutputFile input(std::string(EAVESHED_SOURCE_DIR) + "/testdata/demo/buildings.gpkg");
    std::vector<std::string> expected;
    for (const OutputRow& row : input.rows("SELECT bldg_id FROM buildings WHERE use <> 'greenhouse' ORDER BY fid")) {
        expected.push_back(text(row, "bldg_id"));
    }
    std::vector<std::string> ids;
    for (const OutputRow& row : *s_roofs) {
        ids.push_back(text(row, "roof_id"));
    }
    EXPECT_EQ(ids.size(), 330U);
    EXPECT_THAT(ids, ElementsAreArray(expected));
    EXPECT_EQ(number(s_roofs->front(), "fid"), 1.0);
    EXPECT_EQ(number(s_roofs->back(), "fid"), 330.0);
}

TEST_F(DemoBasin, PlantedFlawsOfShapeComeOutAsStatusesAndFlags) {
    EXPECT_EQ(text(roof("B00052"), "status"), "ok");  // bow tie
    EXPECT_THAT(flags("B00052"), Contains("repaired"));
    EXPECT_EQ(text(roof("B00108"), "status"), "ok");  // courtyard: sound
    EXPECT_THAT(flags("B00108"), Not(Contains("repaired")));
    EXPECT_EQ(text(roof("B00344"), "status"), "duplicate");
    EXPECT_EQ(text(roof("B00157"), "status"), "ok");
    EXPECT_EQ(number(roof("B00344"), "plan_area_m2"), number(roof("B00157"), "plan_area_m2"));
    EXPECT_THAT(flags("B00157"), Not(Contains("overlaps")));  // duplicates aside
    EXPECT_THAT(flags("B00206"), Contains("overlaps"));
    EXPECT_THAT(flags("B00345"), Contains("overlaps"));
    EXPECT_EQ(text(roof("B00346"), "status"), "bad_geometry");
    EXPECT_FALSE(number(roof("B00346"), "plan_area_m2"));
    EXPECT_TRUE(std::holds_alternative<std::monostate>(roof("B00346").at("geom")));
}

TEST_F(DemoBasin, HolesInTheElevationAreToldAndTheWaterIsStillComputed) {
    EXPECT_THAT(flags("B00283"), Contains("dem_gap"));
    EXPECT_TRUE(number(roof("B00283"), "eave_elev_m"));
    EXPECT_THAT(flags("B00317"), Contains("no_elevation"));
    EXPECT_EQ(text(roof("B00317"), "status"), "ok");
    EXPECT_FALSE(number(roof("B00317"), "ground_elev_m"));
    EXPECT_FALSE(number(roof("B00317"), "eave_elev_m"));
    EXPECT_TRUE(number(roof("B00317"), "harvest_mean_m3"));
    EXPECT_EQ(text(roof("B00317"), "delivery"), "no_pad");
    EXPECT_EQ(text(roof("B00317"), "no_pad_reason"), "no_elevation");
}

TEST_F(DemoBasin, AParcelNumberThatNoParcelHasFallsBackOnWhereTheRoofStands) {
    const OutputFile parcels(std::string(EAVESHED_SOURCE_DIR) + "/testdata/demo/parcels.gpkg");
    std::set<std::string> known;
    for (const OutputRow& row : parcels.rows("SELECT apn FROM parcels")) {
        known.insert(text(row, "apn"));
    }
    for (const char* const id : {"B00018", "B00102", "B00293", "B00301"}) {
        EXPECT_EQ(known.count(text(roof(id), "parcel_id")), 1U) << id;
    }
    std::size_t without = 0;
    for (const OutputRow& row : *s_roofs) {
        const std::string parcel = text(row, "parcel_id");
        without += parcel.empty() ? 1U : 0U;
        EXPECT_TRUE(parcel.empty() || known.count(parcel) == 1) << text(row, "roof_id");
    }
    EXPECT_GT(without, 0U);
}

TEST_F(DemoBasin, UnknownMaterialsAreToldAndTakeTheDefault) {
    const OutputFile input(std::string(EAVESHED_SOURCE_DIR) + "/testdata/demo/buildings.gpkg");
    const std::set<std::string> table{"metal", "shingle", "tile", "membrane", "flat_gravel", "green"};
    std::size_t unknown = 0;
    for (const OutputRow& row : input.rows("SELECT bldg_id, roof_mat FROM buildings WHERE use <> 'greenhouse'")) {
        const std::string id = text(row, "bldg_id");
        if (text(roof(id), "status") != "ok") {
            continue;
        }
        const bool known = table.count(text(row, "roof_mat")) == 1;
        unknown += known ? 0U : 1U;
        EXPECT_EQ(flags(id).count("default_material"), known ? 0U : 1U) << id;
        if (!known) {
            EXPECT_EQ(number(roof(id), "runoff_coefficient"), 0.85) << id;  // harvest.default_runoff_coefficient
        }
    }
    EXPECT_GT(unknown, 5U);
}

// The README of the demo says what its six measured rows show.
TEST_F(DemoBasin, MeasuredValuesStandInTheirRows) {
    const OutputFile file(output());
    EXPECT_EQ(file.record("count.override.applied"), "6");
    EXPECT_EQ(file.count("SELECT COUNT(*) FROM overrides"), 6);
    for (const char* const id : {"B00080", "B00010", "B00012"}) {
        EXPECT_THAT(flags(id), Contains("measured")) << id;
    }
    EXPECT_NEAR(*number(roof("B00080"), "eave_elev_m") - *number(roof("B00080"), "ground_elev_m"), 3.25, 1e-9);
    EXPECT_EQ(flags("B00080").count("default_eave"), 0U);
    EXPECT_EQ(text(roof("B00080"), "gravity_check"), "yes");
    EXPECT_EQ(file.text("SELECT arrangement FROM pads WHERE roof_id = 'B00010' AND level = 'roof'"), "cluster");
    EXPECT_EQ(file.text("SELECT waived_rule FROM pads WHERE roof_id = 'B00010' AND level = 'roof'"), "cut");
    EXPECT_EQ(file.text("SELECT water_source FROM parcels WHERE parcel_id = '01W-0002'"), "creek");
    EXPECT_EQ(testing::bytes_of(output()).find("field team"), std::string::npos);
}

TEST_F(DemoBasin, RowsThatAreNotOkHoldAreaAndParcelAndNoOtherNumber) {
    std::size_t seen = 0;
    for (const OutputRow& row : *s_roofs) {
        const std::string status = text(row, "status");
        if (status == "ok") {
            continue;
        }
        ++seen;
        if (status == "too_small") {
            EXPECT_LT(number(row, "plan_area_m2").value(), 20.0);
        }
        for (const auto& [column, value] : row) {
            const std::set<std::string> kept{"fid",    "geom",  "roof_id",      "parcel_id",
                                             "status", "flags", "plan_area_m2", "subbasin_id"};
            EXPECT_TRUE(kept.count(column) == 1 || std::holds_alternative<std::monostate>(value))
                << text(row, "roof_id") << ' ' << column;
        }
    }
    EXPECT_EQ(seen, 55U);  // 53 sheds, a duplicate and a null
}

TEST_F(DemoBasin, ColumnsAgreeWithEachOther) {
    for (const OutputRow& row : *s_roofs) {
        if (text(row, "status") != "ok") {
            continue;
        }
        const std::string id = text(row, "roof_id");
        const double mean = number(row, "harvest_mean_m3").value();
        // A run's harvest is never more than what falls on the connected roof.
        const double most = number(row, "plan_area_m2").value() * number(row, "connected_share").value() *
                            number(row, "runoff_coefficient").value() * number(row, "fill_rain_mm").value() / 1000.0;
        EXPECT_LT(mean + number(row, "first_flush_m3").value(), most * (1.0 + 1e-12)) << id;
        EXPECT_LT(number(row, "harvest_dependable_m3").value(), number(row, "harvest_median_m3").value()) << id;
        EXPECT_LE(number(row, "usable_m3").value(), number(row, "storage_m3").value()) << id;
        EXPECT_LE(number(row, "replaced_worst_m3").value(), number(row, "replaced_dependable_m3").value()) << id;
        EXPECT_LE(number(row, "replaced_mean_m3").value(), number(row, "demand_m3").value() * (1.0 + 1e-12)) << id;
        EXPECT_EQ(number(row, "forbearance_m3"), number(row, "replaced_dependable_m3")) << id;
        // method.md 5.10: mean rate over the forbearance months of a mean year (31 + 30 + 31 days).
        EXPECT_NEAR(number(row, "forbearance_lps").value(),
                    number(row, "forbearance_m3").value() * 1000.0 / (86400.0 * 92.0), 1e-12)
            << id;
        EXPECT_GE(number(row, "instream_gain_lps").value(), 0.0) << id;
        EXPECT_LE(number(row, "instream_gain_lps").value(), number(row, "forbearance_lps").value()) << id;
    }
}

TEST_F(DemoBasin, TheRunRecordCountsWhatTheRowsSay) {
    const OutputFile file(output());
    EXPECT_EQ(file.record("count.rows"), "330");
    for (const Term& term : terms_of<Status>()) {
        const std::string name(term.name);
        EXPECT_EQ(file.record("count.status." + name),
                  file.text("SELECT COUNT(*) FROM roofs WHERE status = '" + name + "'"));
    }
    for (const Term& term : terms_of<Flag>()) {
        const std::string name(term.name);
        EXPECT_EQ(file.record("count.flag." + name),
                  file.text("SELECT COUNT(*) FROM roofs WHERE ',' || flags || ',' LIKE '%," + name + ",%'"));
    }
    for (const Term& term : terms_of<PadReason>()) {
        const std::string name(term.name);
        EXPECT_EQ(file.record("count.no_pad_reason." + name),
                  file.text("SELECT COUNT(*) FROM roofs WHERE no_pad_reason = '" + name + "'"));
    }
    EXPECT_EQ(file.record("rain.complete_tank_years"), "23");
    EXPECT_EQ(file.record("rain.steps"), "8493");
    EXPECT_EQ(file.text("SELECT group_concat(key || ' = ' || value, char(10)) || char(10) FROM run_record"),
              file.text("SELECT metadata FROM gpkg_metadata"));
}

TEST_F(DemoBasin, SumsAreThoseOfTheRows) {
    const RunCounts& counts = s_result->counts;
    double mean = 0.0;
    double dependable = 0.0;
    double free = 0.0;
    double gain = 0.0;
    for (const OutputRow& row : *s_roofs) {
        mean += number(row, "harvest_mean_m3").value_or(0.0);
        dependable += number(row, "harvest_dependable_m3").value_or(0.0);
        if (text(row, "parcel_id").empty()) {
            free += number(row, "forbearance_m3").value_or(0.0);
            gain += number(row, "instream_gain_lps").value_or(0.0);
        }
    }
    EXPECT_EQ(counts.rows(), 330U);
    EXPECT_NEAR(counts.computed().harvest_mean_m3, mean, 1e-9 * mean);
    EXPECT_NEAR(counts.computed().harvest_dependable_m3, dependable, 1e-9 * dependable);
    double sum = free;  // roofs in no parcel count for themselves, the others through their parcel
    for (const OutputRow& row : OutputFile(output()).rows("SELECT * FROM parcels")) {
        sum += number(row, "forbearance_m3").value_or(0.0);
        gain += number(row, "instream_gain_lps").value_or(0.0);
    }
    EXPECT_NEAR(counts.all_properties().forbearance_m3, sum, 1e-9 * sum);
    EXPECT_NEAR(counts.all_properties().felt_lps, gain, 1e-9);
    EXPECT_NEAR(counts.all_properties().felt_m3, gain * 86400.0 * 92.0 / 1000.0, 1e-9 * sum);
}

TEST_F(DemoBasin, TheHeadlinesPartsAreThoseOfTheRowsAndAddUpToTheWhole) {
    const OutputFile file(output());
    const auto record = [&](const std::string& key) { return std::stod(file.record(key)); };
    HeadlineSum all;
    for (const Term& part : terms_of<HeadlinePart>()) {
        const std::string key = "headline." + std::string(part.name);
        all.add({static_cast<std::uint64_t>(record(key + ".number")), record(key + ".forbearance_m3"),
                 record(key + ".felt_m3"), record(key + ".felt_lps")});
    }
    EXPECT_EQ(file.record("headline.of"), "parcels");
    EXPECT_EQ(std::to_string(all.number), file.text("SELECT COUNT(*) FROM parcels"));
    EXPECT_NEAR(all.forbearance_m3, std::stod(file.text("SELECT SUM(forbearance_m3) FROM parcels")), 1e-6);
    EXPECT_NEAR(all.felt_lps, std::stod(file.text("SELECT SUM(instream_gain_lps) FROM parcels")), 1e-9);
    EXPECT_NEAR(record("headline.all.forbearance_m3"), all.forbearance_m3, 1e-6);
    const std::string ranked = "SELECT COUNT(*) FROM parcels WHERE rank IS NOT NULL";
    EXPECT_EQ(file.record("headline.creek.number"), file.text(ranked + " AND added_gain_lps > 0"));
    EXPECT_EQ(
        std::to_string(static_cast<int>(record("headline.creek.number") + record("headline.source_not_known.number") +
                                        record("headline.other_source.number"))),
        file.text(ranked));
    EXPECT_NEAR(record("headline.creek.felt_lps"),
                std::stod(file.text("SELECT SUM(added_gain_lps) FROM parcels WHERE rank IS NOT NULL")), 1e-9);
    EXPECT_EQ(file.record("headline.enrolled.number"),
              file.text("SELECT COUNT(*) FROM parcels WHERE contact_status = 'enrolled'"));
    EXPECT_NEAR(record("sum.flag_forbearance_m3.default_demand"),
                std::stod(file.text("SELECT SUM(forbearance_m3) FROM (SELECT forbearance_m3, flags FROM parcels UNION "
                                    "ALL SELECT forbearance_m3, flags FROM roofs WHERE parcel_id IS NULL AND status = "
                                    "'ok') WHERE flags LIKE '%default_demand%'")),
                1e-6);
}

TEST_F(DemoBasin, TheRecordTellsTheRainsDatesAndItsShareOfTheForbearanceMonths) {
    const OutputFile file(output());
    EXPECT_EQ(file.record("rain.first_tank_year").size(), 4U);
    EXPECT_LT(file.record("rain.first_step"), file.record("rain.last_day"));
    const double share = std::stod(file.record("rain.forbearance_share"));
    EXPECT_GT(share, 0.0);
    EXPECT_LT(share, 0.5);
    EXPECT_NEAR(share, std::stod(file.record("rain.mean_forbearance_mm")) / std::stod(file.record("rain.mean_year_mm")),
                1e-12);
}

TEST_F(DemoBasin, ALookCountsTheRoofsThatAssumptionsDecide) {
    Findings findings;
    const CheckReport report = check(load_project(demo_project(), findings), findings);
    ASSERT_TRUE(report.basis);
    const OutputFile file(output());
    EXPECT_EQ(std::to_string(report.basis->roofs), file.record("count.status.ok"));
    for (const Assumption& assumption : kAssumptions) {
        std::uint64_t expected = 0;
        bool at_most = false;
        for (const AssumedRoofs& row : report.basis->assumed) {
            if (row.assumption == &assumption) {
                expected = row.roofs;
                at_most = row.at_most;
            }
        }
        const auto flagged = std::stoull(file.record("count.flag." + std::string(to_text(assumption.flag))));
        if (at_most) {
            EXPECT_GE(expected, flagged) << assumption.key;
        } else {
            EXPECT_EQ(expected, flagged) << assumption.key;
        }
    }
}

TEST_F(DemoBasin, ParcelsStandInTheirOrderWithEveryRoofAccountedFor) {
    const OutputFile file(output());
    const OutputFile input(std::string(EAVESHED_SOURCE_DIR) + "/testdata/demo/parcels.gpkg");
    const auto parcels = file.rows("SELECT * FROM parcels ORDER BY fid");
    const auto given = input.rows("SELECT apn FROM parcels ORDER BY fid");
    ASSERT_EQ(parcels.size(), given.size());
    double roofs = 0.0;
    double ok = 0.0;
    for (std::size_t i = 0; i < parcels.size(); ++i) {
        const OutputRow& row = parcels[i];
        EXPECT_EQ(text(row, "parcel_id"), text(given[i], "apn"));
        roofs += number(row, "roof_count").value();
        ok += number(row, "ok_roof_count").value();
        const bool computed = text(row, "parcel_status") == "ok";
        EXPECT_EQ(computed, number(row, "ok_roof_count").value() > 0.0);
        EXPECT_EQ(computed, !text(row, "delivery").empty());
        EXPECT_EQ(text(row, "delivery") == "no_pad", !text(row, "no_pad_reason").empty());
        EXPECT_EQ(number(row, "rank").has_value(), number(row, "score").has_value());
    }
    EXPECT_EQ(file.text("SELECT COUNT(*) FROM roofs WHERE parcel_id IS NOT NULL"), fmt::format("{:.0f}", roofs));
    EXPECT_EQ(file.text("SELECT COUNT(*) FROM roofs WHERE parcel_id IS NOT NULL AND status = 'ok'"),
              fmt::format("{:.0f}", ok));
    EXPECT_EQ(file.text("SELECT COUNT(*) FROM parcels WHERE pad_elev_m IS NOT NULL"),
              file.text("SELECT COUNT(*) FROM pads WHERE level = 'parcel'"));
    EXPECT_EQ(file.text("SELECT COUNT(DISTINCT rank) FROM parcels"), file.text("SELECT MAX(rank) FROM parcels"));
    EXPECT_EQ(file.text("SELECT COUNT(*) FROM parcels WHERE rank IS NOT NULL AND contact_status <> 'candidate'"), "0");
}

TEST_F(DemoBasin, EveryComputedRoofHasItsStorageCurve) {
    const OutputFile file(output());
    EXPECT_EQ(file.count("SELECT COUNT(*) FROM storage_curve"),
              8 * file.count("SELECT COUNT(*) FROM roofs WHERE status = 'ok'"));
    // The chosen option of a row stands in its curve with the same numbers.
    EXPECT_EQ(file.count("SELECT COUNT(*) FROM roofs r JOIN storage_curve c USING (roof_id, storage_m3, tank_count) "
                         "WHERE r.replaced_mean_m3 = c.replaced_mean_m3 AND r.replaced_worst_m3 = c.replaced_worst_m3 "
                         "AND r.overflow_mean_m3 = c.overflow_mean_m3"),
              file.count("SELECT COUNT(storage_m3) FROM roofs"));
    // A larger store never replaces less.
    EXPECT_EQ(file.count("SELECT COUNT(*) FROM storage_curve a JOIN storage_curve b USING (roof_id) "
                         "WHERE a.storage_m3 < b.storage_m3 AND a.replaced_mean_m3 > b.replaced_mean_m3 + 1e-9"),
              0);
}

TEST_F(DemoBasin, GivenUsePointsAreTakenAndTheOthersAssumed) {
    const OutputFile file(output());
    EXPECT_GT(file.count("SELECT COUNT(*) FROM use_points WHERE assumed = 0"), 20);
    EXPECT_EQ(file.text("SELECT COUNT(*) FROM use_points WHERE assumed = 1"),
              file.record("count.flag.assumed_use_point"));
    EXPECT_EQ(file.count("SELECT COUNT(*) FROM use_points u JOIN roofs r USING (roof_id) "
                         "WHERE r.window_low_elev_m IS NULL OR u.parcel_id IS NOT r.parcel_id"),
              0);
}

TEST_F(DemoBasin, NoPersonalDataGetIntoTheFile) {
    const OutputFile parcels(std::string(EAVESHED_SOURCE_DIR) + "/testdata/demo/parcels.gpkg");
    const std::string bytes = testing::bytes_of(output());
    for (const OutputRow& row : parcels.rows("SELECT owner, phone FROM parcels")) {
        for (const char* const column : {"owner", "phone"}) {
            const std::string word = text(row, column);
            EXPECT_TRUE(word.empty() || bytes.find(word) == std::string::npos) << word;
        }
    }
}

TEST_F(DemoBasin, WhatBelongsToThoseWhoSaidNoIsMarked) {
    const OutputFile file(output());
    for (const std::string layer : {"pads", "pad_ground", "pipes", "use_points"}) {
        EXPECT_EQ(file.count("SELECT COUNT(*) FROM " + layer +
                             " l LEFT JOIN parcels p USING (parcel_id) WHERE l.opted_out IS NOT "
                             "COALESCE(p.contact_status IN ('declined', 'do_not_contact'), 0)"),
                  0)
            << layer;
        EXPECT_GT(file.count("SELECT COUNT(*) FROM " + layer + " WHERE opted_out"), 0) << layer;
    }
}

// As docs/output.md says.
TEST_F(DemoBasin, WhatBelongsToAParcelIsRelatedToIt) {
    const OutputFile file(output());
    EXPECT_EQ(file.text("SELECT group_concat(base_table_name || ' ' || related_table_name || ' ' || relation_name || "
                        "' ' || mapping_table_name, '; ') FROM gpkgext_relations"),
              "parcels roofs features parcels_roofs; parcels pads features parcels_pads; "
              "parcels parcel_options attributes parcels_parcel_options");
    for (const std::string table : {"roofs", "pads", "parcel_options"}) {
        const std::string pairs = "parcels_" + table;
        EXPECT_GT(file.count("SELECT COUNT(*) FROM " + pairs), 100) << table;
        EXPECT_EQ(file.count("SELECT COUNT(*) FROM " + pairs),
                  file.count("SELECT COUNT(*) FROM " + table + " WHERE parcel_id IS NOT NULL"))
            << table;
        EXPECT_EQ(file.count("SELECT COUNT(*) FROM " + pairs + " JOIN parcels p ON p.fid = base_id JOIN " + table +
                             " r ON r.fid = related_id WHERE p.parcel_id IS NOT r.parcel_id"),
                  0)
            << table;
    }
}

// Viewers find the names of a table's columns where its geometry column is an empty text.
TEST_F(DemoBasin, TablesWithoutAShapeHaveNamesForPeople) {
    const OutputFile file(output());
    EXPECT_NE(file.text("SELECT styleQML FROM layer_styles WHERE f_table_name = 'storage_curve' AND "
                        "f_geometry_column = ''")
                  .find("name=\"Storage (m3)\""),
              std::string::npos);
    EXPECT_EQ(file.count("SELECT COUNT(*) FROM layer_styles"), static_cast<std::int64_t>(output_tables().size()));
}

TEST_F(DemoBasin, EveryLayerWithAShapeHasItsDefaultStyle) {
    // Viewers apply a style whose catalog and schema are empty texts and whose layer and geometry column exist.
    const auto rows = OutputFile(output()).rows(
        "SELECT s.f_table_name AS layer, s.styleSLD AS sld, s.styleQML AS qml FROM layer_styles AS s "
        "JOIN gpkg_geometry_columns AS g ON g.table_name = s.f_table_name AND g.column_name = s.f_geometry_column "
        "WHERE s.useAsDefault = 1 AND s.f_table_catalog = '' AND s.f_table_schema = '' ORDER BY s.f_table_name");
    ASSERT_EQ(rows.size(), 8U);
    std::vector<std::string> layers;
    for (const OutputRow& row : rows) {
        layers.push_back(text(row, "layer"));
    }
    EXPECT_THAT(layers,
                ElementsAre("pad_ground", "pads", "parcels", "pipes", "reaches", "roofs", "subbasins", "use_points"));
    for (const std::string_view delivery : {"gravity", "low_pressure", "pumped_feed", "pumped_fill"}) {
        EXPECT_NE(text(rows[1], "sld").find("<ogc:Literal>" + std::string(delivery) + "<"), std::string::npos);
        EXPECT_NE(text(rows[1], "qml").find("&apos;" + std::string(delivery) + "&apos;"), std::string::npos);
    }
    EXPECT_NE(text(rows[5], "qml").find("name=\"Plan area (m2)\""), std::string::npos);
}

TEST_F(DemoBasin, TheFileIsASoundGeoPackage) {
    testing::expect_sound_geopackage(output());
}

TEST_F(DemoBasin, NothingElseStandsBesideTheOutput) {
    std::vector<std::string> names;
    for (const auto& entry : std::filesystem::directory_iterator(s_folder->path())) {
        names.push_back(entry.path().filename().string());
    }
    EXPECT_THAT(names, ::testing::ElementsAre("demo.gpkg"));
}

}  // namespace
}  // namespace eaveshed
