// A parcel's row recomputed from the inputs and held against the stored one.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <set>
#include <sstream>

#include <nlohmann/json.hpp>

#include "eaveshed/explain/explain.hpp"
#include "eaveshed/words/text_lines.hpp"
#include "run/explain_words.hpp"
#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/edit_file.hpp"
#include "support/expect_error.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using ::testing::Contains;
using ::testing::ElementsAre;
using testing::expect_input_error;
using ::testing::HasSubstr;
using testing::OutputFile;
using testing::TempFolder;

ExplainedParcel told_of_parcel(const std::string& file, const std::string& id, const std::string& project = "") {
    Findings findings;
    Progress progress(ProgressStyle::none);
    ExplainRequest request;
    request.file = file;
    request.project = project;
    request.parcel_id = id;
    ExplainedParcel parcel = explain_parcel(request, findings, progress);
    for (const Finding& finding : findings.list()) {
        EXPECT_NE(finding.severity, Severity::warning) << to_text(finding.trouble);
    }
    return parcel;
}

std::vector<std::string> differing(const ExplainedParcel& parcel) {
    std::vector<std::string> columns;
    for (const Difference& difference : parcel.differences) {
        columns.push_back(difference.table + '.' + difference.column);
    }
    return columns;
}

std::vector<std::string> parcels_of(const std::string& file) {
    std::vector<std::string> ids;
    for (const auto& row : OutputFile(file).rows("SELECT parcel_id FROM parcels ORDER BY fid")) {
        ids.push_back(testing::text(row, "parcel_id"));
    }
    return ids;
}

// Two roofs on each parcel, prices, roads, canopy and scenarios; a parcel without roofs and one with a shed alone.
std::string write_rich_basin(const TempFolder& folder) {
    SmallBasin basin;
    const std::vector<SmallRoof> standing = small_roofs();
    for (std::size_t i = 1; i < standing.size(); i += 2) {
        SmallRoof second = standing[i];
        second.id += "b";
        second.corner.y += i % 4 == 1 ? -24.0 : 20.0;
        second.corner.x += 16.0;
        second.width_m = 6.0;
        second.storeys = i % 3 == 0 ? "1" : "2";
        second.parcel = "P" + standing[i].id;
        basin.roofs.push_back(second);
    }
    SmallRoof shed = standing.at(3);
    shed.id = "SHED";
    shed.width_m = shed.depth_m = 3.0;
    std::erase_if(basin.roofs, [](const SmallRoof& roof) {
        return roof.parcel == "PR01" || roof.parcel == "PR03" || roof.id == "R01" || roof.id == "R03";
    });
    basin.roofs.push_back(shed);
    basin.settings =
        "[roads]\nsource = \"roads.gpkg\"\n[canopy]\nsource = \"canopy.tif\"\n"
        "[cost]\npad = 900\npipe_per_m = 14\npump = 1100\ncurrency = \"quills\"\n"
        "[[tanks]]\nvolume_m3 = 9.5\ndiameter_m = 2.41\nheight_m = 2.31\ncost = 2200\n"
        "[[tanks]]\nvolume_m3 = 18.9\ndiameter_m = 3.02\nheight_m = 2.95\ncost = 3900\n"
        "[[scenarios]]\nname = \"dry\"\nrain_factor = 0.2\n[[scenarios]]\nname = \"hot\"\net0_factor = 1.2\n"
        "[rank]\ndraws = 40\ntop = 3\nscenario = \"worst\"\n[siting]\nmax_fill_m = 40\n";
    testing::LayerToWrite roads = layer_in("roads", kBasinCrs);
    roads.type = wkbLineString;
    roads.rows = {{"LINESTRING(500000 4190420, 501500 4190450)"}};
    testing::write_vector("GPKG", folder.file("roads.gpkg"), {roads});
    testing::write_raster(folder.file("canopy.tif"), raster_over_basin(kBasinCrs, 1.0, 0.0, 1, [](int, Point place) {
                              return 3.0 + 3.0 * std::sin(place.x / 3.0);
                          }));
    return write_basin(folder, basin);
}

class ExplainParcelRun : public ::testing::Test {
protected:
    static void SetUpTestSuite() {
        s_folder = new TempFolder;
        screened(write_rich_basin(*s_folder), out());
    }
    static void TearDownTestSuite() { delete s_folder; }
    static std::string out() { return s_folder->file("out.gpkg"); }
    static std::string edited(const std::vector<std::string>& statements) {
        const std::string copy = s_folder->file("edited.gpkg");
        std::filesystem::copy_file(out(), copy, std::filesystem::copy_options::overwrite_existing);
        testing::edit_file(copy, statements);
        return copy;
    }
    static std::string id_where(const std::string& condition) {
        return OutputFile(out()).text("SELECT parcel_id FROM parcels WHERE " + condition + " ORDER BY fid LIMIT 1");
    }
    static inline TempFolder* s_folder = nullptr;
};

TEST_F(ExplainParcelRun, AgreesWithEveryStoredRow) {
    std::set<std::string> outcomes;
    for (const std::string& id : parcels_of(out())) {
        const ExplainedParcel parcel = told_of_parcel(out(), id);
        EXPECT_THAT(differing(parcel), ElementsAre()) << id;
        const ParcelRow& row = parcel.explanation.result.parcel;
        outcomes.insert(std::string(row.delivery ? to_text(*row.delivery) : to_text(row.parcel_status)));
        EXPECT_GE(parcel.values_compared, 60U);
        EXPECT_THAT(document_text(explanation_document(parcel)),
                    HasSubstr("Every stored value agrees with the recomputation"));
    }
    EXPECT_THAT(outcomes, Contains("no_roofs"));
    EXPECT_THAT(outcomes, Contains("no_computed_roofs"));
    EXPECT_GT(outcomes.size(), 3U);
    // What the basin was made for: roofs together, some left out, notes, scenarios, ranks.
    const OutputFile file(out());
    for (const char* const kind : {"connected_roofs LIKE '%,%'", "unconnected_roofs IS NOT NULL",
                                   "road_distance_m IS NOT NULL", "canopy_share > 0 AND canopy_share < 1",
                                   "rank_scenario = 'dry'", "cost IS NOT NULL", "ask_first IS NOT NULL"}) {
        EXPECT_NE(file.text(std::string("SELECT COUNT(*) FROM parcels WHERE ") + kind), "0") << kind;
    }
}

TEST_F(ExplainParcelRun, SpeaksInUsUnitsWhereTheyAreAskedFor) {
    for (const std::string& id : parcels_of(out())) {
        const ExplainedParcel parcel = told_of_parcel(out(), id);
        const Document us = explanation_document(parcel, OutputUnits::us);
        expect_same_quantities(explanation_document(parcel), us);
        const std::string text = document_text(us);
        EXPECT_EQ(si_quantity_in(us), "") << id << '\n' << text;
    }
}

// The same asks of a parcel's document as of a roof's: a section has each key once, and the key's end is its unit.
TEST_F(ExplainParcelRun, KeysAreUniqueAndCarryTheirUnitsAndLinesFit) {
    const std::map<std::string, std::string> suffixes{{"m", "_m"},      {"m2", "_m2"},   {"m3", "_m3"},
                                                      {"kPa", "_kpa"},  {"L/s", "_lps"}, {"%", "_pct"},
                                                      {"kW.h", "_kwh"}, {"t", "_t"},     {"deg", "_deg"}};
    for (const std::string& id : parcels_of(out())) {
        const Document document = explanation_document(told_of_parcel(out(), id));
        std::set<std::string> sections;
        for (const DocumentSection& section : document.sections) {
            EXPECT_TRUE(sections.insert(section.key).second) << section.key;
            std::set<std::string> keys{"title", "words", "values", "from"};
            for (const DocumentPart& part : section.parts) {
                if (const auto* const table = std::get_if<FactTable>(&part)) {
                    EXPECT_TRUE(keys.insert(table->key).second) << section.key << ' ' << table->key;
                    for (const auto& row : table->rows) {
                        EXPECT_EQ(row.size(), table->columns.size()) << table->key;
                    }
                } else if (const auto* const fact = std::get_if<Fact>(&part)) {
                    EXPECT_TRUE(keys.insert(fact->key).second) << section.key << ' ' << fact->key;
                    if (!fact->unit.empty()) {
                        EXPECT_TRUE(fact->key.ends_with(suffixes.at(fact->unit))) << fact->key << ' ' << fact->unit;
                    }
                }
            }
        }
        std::istringstream text(document_text(document));
        for (std::string line; std::getline(text, line);) {
            EXPECT_LE(line.size(), kPageColumns + 60) << id << ": " << line;  // tables may be wider
            EXPECT_FALSE(line.ends_with(' ')) << id << ": " << line;
        }
    }
}

TEST_F(ExplainParcelRun, CostAndScoreAddUpToTheStoredOnes) {
    const std::string id = id_where("cost IS NOT NULL AND score IS NOT NULL AND delivery = 'pumped_feed'");
    const auto row = OutputFile(out()).rows("SELECT * FROM parcels WHERE parcel_id = '" + id + "'").at(0);
    const auto json = nlohmann::json::parse(document_json(explanation_document(told_of_parcel(out(), id))));
    const auto& cost = json.at("cost").at("values");
    EXPECT_EQ(cost.at("pump"), 1100.0);
    EXPECT_EQ(cost.at("pad"), 900.0);
    EXPECT_NEAR(cost.at("tanks").get<double>() + 900.0 + cost.at("pipes").get<double>() + 1100.0,
                testing::number(row, "cost").value(), 1e-6);
    double products = 0.0;
    double weights = 0.0;
    for (const auto& component : json.at("score").at("components")) {
        if (!component.at("scaled").is_null()) {
            products += component.at("contribution").get<double>();
            weights += component.at("weight").get<double>();
        }
    }
    EXPECT_NEAR(products / weights, testing::number(row, "score").value(), 1e-12);
    EXPECT_EQ(json.at("score").at("values").at("rank").get<double>(), testing::number(row, "rank"));
    EXPECT_EQ(json.at("score").at("values").at("rank_scenario"), testing::text(row, "rank_scenario"));
    EXPECT_EQ(json.at("differing_values"), 0);
}

TEST_F(ExplainParcelRun, FindsAStoredNumberThatWasChanged) {
    const std::string id = id_where("rank IS NOT NULL AND pad_elev_m IS NOT NULL");
    const std::string where = " WHERE parcel_id = '" + id + "'";
    const auto found = [&](const std::string& statement) {
        return differing(told_of_parcel(edited({statement + where}), id));
    };
    EXPECT_THAT(found("UPDATE parcels SET cost = cost + 1"), ElementsAre("parcels.cost"));
    EXPECT_THAT(found("UPDATE parcels SET score = score * 0.999"), ElementsAre("parcels.score"));
    EXPECT_THAT(found("UPDATE parcels SET connected_roofs = 'R99'"), ElementsAre("parcels.connected_roofs"));
    EXPECT_THAT(found("UPDATE parcels SET ask_first = NULL"), ElementsAre("parcels.ask_first"));
    EXPECT_THAT(found("UPDATE parcels SET rank = NULL"), Contains("parcels.rank"));
    EXPECT_THAT(found("UPDATE parcels SET rank = 77"), ElementsAre());  // said to be the stored one
    EXPECT_THAT(found("UPDATE pads SET road_climb_m = 9"), ElementsAre("pads.road_climb_m"));
    EXPECT_THAT(found("UPDATE scenarios SET demand_m3 = 1"),
                ElementsAre("scenarios 1.demand_m3", "scenarios 2.demand_m3"));
    EXPECT_THAT(found("DELETE FROM scenarios"), Contains("scenarios 1.(row)"));
    EXPECT_THAT(found("UPDATE parcel_options SET added_gain_lps = 9"), Contains("parcel_options 1.added_gain_lps"));
    EXPECT_THAT(found("DELETE FROM parcel_options"), Contains("parcel_options 1.(row)"));
    EXPECT_THAT(found("UPDATE scenarios SET added_forbearance_m3 = 1"), Contains("scenarios 1.added_forbearance_m3"));
    EXPECT_THAT(to_text(trouble_of(told_of_parcel(edited({"UPDATE parcels SET cost = 1" + where}), id))),
                HasSubstr("of parcel '" + id + "' not as recomputed"));
}

TEST_F(ExplainParcelRun, SaysWhyRoofsAreLeftOutAndWhyThereIsNothing) {
    const auto text_of = [](const std::string& id) {
        return document_text(explanation_document(told_of_parcel(out(), id)));
    };
    EXPECT_THAT(text_of("PR01"), HasSubstr("no_roofs"));
    const std::string shed = text_of("PR03");
    EXPECT_THAT(shed, HasSubstr("no_computed_roofs"));
    EXPECT_THAT(shed, HasSubstr("too_small: not computed"));
    const std::string apart = text_of(id_where("unconnected_roofs IS NOT NULL"));
    EXPECT_TRUE(apart.find("too low") != std::string::npos || apart.find("farther than 40 m") != std::string::npos);
    EXPECT_THAT(text_of(id_where("rank IS NOT NULL")), HasSubstr("they are the stored ones"));
}

// Every option of the catalogue stands in the table or says why not; those that stand are the stored ones.
TEST_F(ExplainParcelRun, TellsTheSizesAtThePad) {
    for (const std::string& id : parcels_of(out())) {
        const ExplainedParcel parcel = told_of_parcel(out(), id);
        if (!parcel.explanation.result.pad) {
            EXPECT_EQ(document_text(explanation_document(parcel)).find("Sizes at the pad"), std::string::npos);
            continue;
        }
        const auto json = nlohmann::json::parse(document_json(explanation_document(parcel)));
        const auto stored = OutputFile(out()).rows("SELECT * FROM parcel_options WHERE parcel_id = '" + id + "'");
        std::size_t standing = 0;
        for (const auto& size : json.at("sizes").at("sizes")) {
            const std::string verdict = size.at("verdict");
            if (verdict.starts_with("no: ")) {
                EXPECT_TRUE(size.at("cost").is_null());
                continue;
            }
            const auto& row = stored.at(standing++);
            EXPECT_EQ(verdict == "chosen", testing::number(row, "chosen") == 1.0);
            EXPECT_EQ(size.at("storage_m3").get<double>(), testing::number(row, "storage_m3"));
            EXPECT_NEAR(size.at("cost").get<double>(), testing::number(row, "cost").value(), 1e-6);
        }
        EXPECT_EQ(standing, stored.size());
        EXPECT_EQ(json.at("sizes").at("sizes").size(), 2U);
    }
}

// Where a value comes from: a field of the parcels, or someone who was there.
TEST(ExplainParcelSources, SayWhatWasMeasured) {
    const TempFolder folder;
    SmallBasin basin;
    basin.settings = "[overrides]\nsource = \"measured.csv\"\n";
    folder.write("measured.csv",
                 "parcel_id,existing_storage_m3,water_source,source_share,season_use_m3,pump_lps\n"
                 "PR05,2.5,creek,0.75,60,1.5\n");
    screened(write_basin(folder, basin), folder.file("out.gpkg"));
    const auto json =
        nlohmann::json::parse(document_json(explanation_document(told_of_parcel(folder.file("out.gpkg"), "PR05"))));
    const auto from = [&](const char* section, const char* key) {
        return json.at(section).at("from").at(key).get<std::string>();
    };
    EXPECT_EQ(from("existing", "existing_storage_m3"), "measured (overrides)");
    EXPECT_EQ(from("water", "water_source"), "measured (overrides)");
    EXPECT_EQ(from("water", "source_share"), "measured (overrides)");
    EXPECT_EQ(from("water", "demand_m3"), "measured (overrides)");
    EXPECT_THAT(from("storage", "pump_lps"), HasSubstr("measured (overrides)"));
    const auto& existing = json.at("existing").at("values");
    EXPECT_GT(existing.at("existing_replaced_m3").get<double>(), 0.0);
    EXPECT_NEAR(existing.at("forbearance_m3").get<double>() - existing.at("existing_replaced_m3").get<double>(),
                existing.at("added_forbearance_m3").get<double>(), 1e-9);
    EXPECT_EQ(json.at("differing_values"), 0);
}

TEST_F(ExplainParcelRun, UnknownParcelsAreToldWithTheNearestIds) {
    expect_input_error([&] { told_of_parcel(out(), "PR99"); }, {"no parcel 'PR99'", "did you mean", "'PR09'"});
    expect_input_error(
        [&] { told_of_parcel(edited({"UPDATE parcels SET parcel_id = 'PR05' WHERE parcel_id = 'PR07'"}), "PR05"); },
        {"2 parcels with the id 'PR05'", "parcels.id"});
    expect_input_error(
        [&] { told_of_parcel(edited({"UPDATE parcels SET parcel_id = 'NEW' WHERE parcel_id = 'PR07'"}), "NEW"); },
        {"no parcel 'NEW' among the parcels now"});
}

// Every third parcel of the demo basin, in three parts.
class ExplainDemoParcels : public ::testing::TestWithParam<std::size_t> {};

TEST_P(ExplainDemoParcels, AgreeWithTheScreening) {
    constexpr std::size_t kEvery = 9;
    const TempFolder folder;
    screened(demo_project(), folder.file("demo.gpkg"));
    const auto ids = parcels_of(folder.file("demo.gpkg"));
    for (std::size_t i = GetParam(); i < ids.size(); i += kEvery) {
        EXPECT_THAT(differing(told_of_parcel(folder.file("demo.gpkg"), ids[i], demo_project())), ElementsAre())
            << ids[i];
    }
}

INSTANTIATE_TEST_SUITE_P(Parts, ExplainDemoParcels, ::testing::Values(0U, 3U, 6U));

// As the layers have them, and in degrees near each other.
TEST_F(ExplainParcelRun, TellsWhereRoofsPadAndUsePointAre) {
    const std::string id = id_where("delivery NOT IN ('no_pad', 'no_use')");
    const ExplainedParcel parcel = told_of_parcel(out(), id);
    const auto json = nlohmann::json::parse(document_json(explanation_document(parcel)));
    const auto& told = json.at("coordinates");
    const auto& values = told.at("values");
    ASSERT_TRUE(parcel.pad_place && parcel.pad_place->degrees && parcel.use_place);
    EXPECT_EQ(values.at("pad_x").get<double>(), parcel.pad_place->output.x);
    EXPECT_EQ(values.at("pad_longitude_deg").get<double>(), parcel.pad_place->degrees->longitude_deg);
    EXPECT_EQ(values.at("use_point_latitude_deg").get<double>(), parcel.use_place->degrees->latitude_deg);
    ASSERT_EQ(told.at("roofs").size(), parcel.roof_ids.size());
    for (std::size_t i = 0; i < parcel.roof_ids.size(); ++i) {
        const auto& roof = told.at("roofs").at(i);
        EXPECT_EQ(roof.at("roof_id").get<std::string>(), parcel.roof_ids[i]);
        EXPECT_NEAR(roof.at("longitude_deg").get<double>(), parcel.pad_place->degrees->longitude_deg, 0.01);
        EXPECT_NEAR(roof.at("latitude_deg").get<double>(), parcel.pad_place->degrees->latitude_deg, 0.01);
    }
    // The basin lies at 123 degrees west, the central meridian of its zone, and near 37.86 north.
    EXPECT_NEAR(values.at("pad_longitude_deg").get<double>(), -123.0, 0.02);
    EXPECT_NEAR(values.at("pad_latitude_deg").get<double>(), 37.86, 0.02);
}

}  // namespace
}  // namespace eaveshed
