// Fields of quantities in other units than the settings' own: the same basin, however its numbers are written.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <functional>

#include "eaveshed/core/units.hpp"
#include "eaveshed/explain/explain.hpp"
#include "eaveshed/run/check.hpp"
#include "run/override_basin.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;
using testing::TempFolder;

// A quantity of the test's data: its field, the number of feature `i` in the US unit, and both units.
struct Quantity {
    std::string key;
    std::string si;
    std::string us;
    std::function<double(int)> value;
};

const std::vector<Quantity>& of_parcels() {
    static const std::vector<Quantity> kQuantities{
        {"irrigated_area_m2", "m2", "ft2", [](int i) { return 1500.0 + 100.0 * i; }},
        {"season_use_m3", "m3", "gal", [](int i) { return 9000.0 + 1234.0 * i; }},
        {"stream_distance_m", "m", "ft", [](int i) { return 70.0 + 33.0 * i; }},
        {"pump_lps", "L/s", "gpm", [](int i) { return 4.0 + 0.1 * i; }},
        {"existing_storage_m3", "m3", "gal", [](int i) { return 250.0 * i; }}};
    return kQuantities;
}

const Quantity& of_roofs() {
    static const Quantity kEave{"eave_height", "m", "ft", [](int i) { return 7.5 + 0.25 * i; }};
    return kEave;
}

enum class Written : std::uint8_t { si, us, text };

std::string value_text(const Quantity& of, int i, Written how) {
    const std::string us = fmt::format("{}", of.value(i));
    switch (how) {
        case Written::us: return us;
        case Written::text: return fmt::format("  {}{}{} ", us, i % 2 == 0 ? " " : "", of.us);
        case Written::si: break;
    }
    return fmt::format("{:.17g}", in_unit(us + of.us, *find_unit(of.si)).value());
}

std::string setting_line(const Quantity& of, Written how) {
    return how == Written::us ? fmt::format("{} = {{ field = \"{}\", unit = \"{}\" }}\n", of.key, of.key, of.us)
                              : fmt::format("{} = \"{}\"\n", of.key, of.key);
}

testing::LayerToWrite parcels_written(Written how) {
    testing::LayerToWrite layer = layer_in("parcels", kBasinCrs);
    layer.fields = {{"apn"}, {"source"}};
    for (const Quantity& quantity : of_parcels()) {
        layer.fields.push_back({quantity.key, how == Written::text ? OFTString : OFTReal});
    }
    int number = 0;
    for (const SmallRoof& roof : small_roofs()) {
        if (++number % 2 != 0) {
            continue;
        }
        const SmallRoof ground{
            .id = "", .corner = {roof.corner.x - 30.0, roof.corner.y - 30.0}, .width_m = 60.0, .depth_m = 60.0};
        testing::RowToWrite row{wkt_of(outline_of(ground)),
                                {"P" + roof.id, number % 4 == 0 ? "creek" : "shallow_well"}};
        for (const Quantity& quantity : of_parcels()) {
            const bool none = number % 6 == 0 && quantity.key == "season_use_m3";
            row.values.push_back(none ? std::nullopt : std::optional(value_text(quantity, number, how)));
        }
        layer.rows.push_back(std::move(row));
    }
    return layer;
}

testing::LayerToWrite footprints_written(Written how) {
    testing::LayerToWrite layer = layer_in("buildings", kBasinCrs);
    layer.fields = {{"id"}, {"mat"}, {of_roofs().key, how == Written::text ? OFTString : OFTReal}};
    int number = 0;
    for (const SmallRoof& roof : small_roofs()) {
        layer.rows.push_back(
            {wkt_of(outline_of(roof)), {roof.id, roof.material, value_text(of_roofs(), ++number, how)}});
    }
    return layer;
}

// The project file of a basin that is written so.
std::string write_so(const TempFolder& folder, Written how, const std::string& more = "") {
    testing::write_vector("GPKG", folder.file("buildings.gpkg"), {footprints_written(how)});
    testing::write_vector("GPKG", folder.file("parcels.gpkg"), {parcels_written(how)});
    write_terrain({}, folder.file("dem.tif"));
    write_rain({}, folder.file("rain.tif"));
    std::string text = "[footprints]\nsource = \"buildings.gpkg\"\nid = \"id\"\nmaterial = \"mat\"\n" +
                       setting_line(of_roofs(), how) +
                       "[terrain]\nelevation = \"dem.tif\"\n[rain]\nsource = \"rain.tif\"\nkind = \"monthly\"\nstart = "
                       "\"1990-11\"\n[demand]\ntransmissivity_m2_day = 60\nstorage_coefficient = 0.1\n"
                       "[parcels]\nsource = \"parcels.gpkg\"\nid = \"apn\"\nwater_source = \"source\"\n";
    for (const Quantity& quantity : of_parcels()) {
        text += setting_line(quantity, how);
    }
    return folder.write("basin.toml", text + more);
}

OverrideRun run_so(Written how) {
    const TempFolder folder;
    return run_of(write_so(folder, how), folder.file("out.gpkg"));
}

TEST(QuantityFields, GiveTheSameRowsInAnyUnit) {
    const OverrideRun si = run_so(Written::si);
    for (const Written how : {Written::us, Written::text}) {
        const OverrideRun other = run_so(how);
        EXPECT_THAT(other.warnings, Not(HasSubstr("with no number")));
        for (const std::string& table : result_tables()) {
            EXPECT_TRUE(other.tables.at(table) == si.tables.at(table)) << table << ' ' << static_cast<int>(how);
        }
    }
    // What is compared is there.
    EXPECT_TRUE(testing::number(si.parcel("PR03"), "pump_lps"));
    EXPECT_TRUE(testing::number(si.parcel("PR03"), "existing_storage_m3"));
    EXPECT_EQ(testing::text(si.roof("R03"), "flags").find("default_eave"), std::string::npos);
}

TEST(QuantityFields, MeasuredValuesGiveTheSameRowsInAnyUnit) {
    const auto with = [](const std::string& height, const std::string& use) {
        return run_with("roof_id,parcel_id,eave_height_m,season_use_m3\nR03,," + height + ",\n,PR03,," + use + "\n");
    };
    const auto in = [](const char* text, const char* unit) {
        return fmt::format("{:.17g}", in_unit(text, *find_unit(unit)).value());
    };
    const OverrideRun si = with(in("8.5 ft", "m"), in("250000 gal", "m3"));
    const OverrideRun us = with("8.5 ft", "250000 gal");
    for (const std::string& table : result_tables()) {
        EXPECT_TRUE(us.tables.at(table) == si.tables.at(table)) << table;
    }
    EXPECT_THAT(with("2.5908", "\"250,000 gal\"").warnings, HasSubstr("\"250,000 gal\" (row 2, parcel 'PR03')"));
}

TEST(QuantityFields, StandInTheRunRecordForExplanations) {
    const TempFolder folder;
    screened(write_so(folder, Written::us), folder.file("out.gpkg"));
    EXPECT_EQ(testing::OutputFile(folder.file("out.gpkg"))
                  .text("SELECT value FROM run_record WHERE key = "
                        "'setting.parcels.season_use_m3'"),
              "{ field = \"season_use_m3\", unit = \"gal\" }");
    Findings findings;
    Progress progress(ProgressStyle::none);
    const ExplainedParcel parcel = explain_parcel(
        {.file = folder.file("out.gpkg"), .roof_id = "", .project = "", .parcel_id = "PR03"}, findings, progress);
    EXPECT_TRUE(parcel.differences.empty());
    EXPECT_EQ(parcel.run.project.settings.parcels.season_use_m3.unit, "gal");
    EXPECT_THAT(document_text(explanation_document(parcel)), HasSubstr("field season_use_m3 (gal) of the parcels"));
}

TEST(QuantityFields, AreToldByALookAtTheInputs) {
    const TempFolder folder;
    Findings findings;
    const Project project = load_project(write_so(folder, Written::us), findings);
    const std::string page = report_text(project, check(project, findings), findings);
    EXPECT_THAT(page, AllOf(HasSubstr("season_use_m3 from season_use_m3, gal"),
                            HasSubstr("eave_height from eave_height, ft"), Not(HasSubstr("with no number"))));
}

// Texts that nobody can read count as not known, and are told: with the layer, the field, how many and the first.
TEST(QuantityFields, ThatCannotBeReadAreCountedAndToldByTheRunAndByALook) {
    const TempFolder folder;
    const std::string project = write_so(folder, Written::text);
    testing::LayerToWrite layer = parcels_written(Written::text);
    const std::vector<std::string> hostile{"1,00,0 gal", "12 parsecs", "1e999 gal", "", " \t ", "5ft", "\x01\n"};
    for (std::size_t i = 0; i < hostile.size(); ++i) {
        layer.rows.at(i).values.at(3) = hostile[i];
    }
    std::filesystem::remove(folder.file("parcels.gpkg"));
    testing::write_vector("GPKG", folder.file("parcels.gpkg"), {layer});
    const OverrideRun ran = run_of(project, folder.file("out.gpkg"));
    const auto told =
        AllOf(HasSubstr("parcels.gpkg"),
              HasSubstr("5 parcels with no number in the field \"season_use_m3\" "
                        "(parcels.season_use_m3), the first \"1,00,0 gal\""),
              HasSubstr("with a unit of volume (m3, L, gal, kgal, ft3, acre-ft)"), HasSubstr("count as not known"));
    EXPECT_THAT(ran.warnings, told);
    Findings findings;
    (void)check(load_project(project, findings), findings);
    std::string looked;
    for (const Finding& finding : findings.list()) {
        looked += to_text(finding.trouble) + '\n';
    }
    EXPECT_THAT(looked, told);
    // As where the field is empty.
    for (std::size_t i = 0; i < hostile.size(); ++i) {
        layer.rows.at(i).values.at(3) = std::nullopt;
    }
    std::filesystem::remove(folder.file("parcels.gpkg"));
    testing::write_vector("GPKG", folder.file("parcels.gpkg"), {layer});
    const OverrideRun empty = run_of(project, folder.file("out.gpkg"));
    EXPECT_THAT(empty.warnings, Not(HasSubstr("with no number")));
    for (const std::string& table : result_tables()) {
        EXPECT_TRUE(empty.tables.at(table) == ran.tables.at(table)) << table;
    }
}

}  // namespace
}  // namespace eaveshed
