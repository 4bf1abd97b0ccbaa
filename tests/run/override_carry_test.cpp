// Measured values on footprints and parcels that were issued again: the rule is that of method.md 9.5, carried by
// overlap; more than half of the smaller area is this program's choice, the same as for overlapping footprints.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>

#include "run/override_basin.hpp"

namespace eaveshed {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using testing::number;
using testing::OutputRow;
using testing::TempFolder;
using testing::text;

constexpr const char* kFormer = "former = \"old.gpkg\"\n";
constexpr const char* kR05 = "roof_id,eave_height_m\nR05,4.25\n";

// A basin that was screened once, and is now screened again with other footprints and a table made for the old ones.
class Reissued : public ::testing::Test {
protected:
    static void SetUpTestSuite() {
        s_folder = new TempFolder;
        SmallBasin old;
        SmallRoof a = old.roofs.at(5);  // two that touch, away from the others
        a.id = "A";
        a.corner = {kX0 + 700.0, kY0 + 60.0};
        a.turn_deg = 0.0;
        SmallRoof b = a;
        b.id = "B";
        b.corner.x += a.width_m;
        b.width_m = 8.0;
        old.roofs.push_back(a);
        old.roofs.push_back(b);
        s_old = new SmallBasin(old);
        screened(write_basin(*s_folder, old), s_folder->file("old.gpkg"));
    }
    static void TearDownTestSuite() {
        delete s_old;
        delete s_folder;
    }
    // The basin of now beside the old result.
    static OverrideRun run(const SmallBasin& now, const std::string& csv, const std::string& settings = kFormer) {
        const TempFolder folder;
        std::filesystem::copy_file(s_folder->file("old.gpkg"), folder.file("old.gpkg"));
        return run_with(folder, now, csv, settings);
    }
    static SmallBasin old_basin() { return *s_old; }
    static SmallRoof& named(SmallBasin& basin, const std::string& id) {
        return *std::ranges::find(basin.roofs, id, &SmallRoof::id);
    }
    static double eave_height(const OverrideRun& run, const std::string& id) {
        return *number(run.roof(id), "eave_elev_m") - *number(run.roof(id), "ground_elev_m");
    }

    static inline TempFolder* s_folder = nullptr;
    static inline SmallBasin* s_old = nullptr;
};

TEST_F(Reissued, TheSameFootprintsTakeTheirValuesByIdAlone) {
    const OverrideRun same = run(old_basin(), kR05);
    EXPECT_THAT(same.outcomes(), ElementsAre("applied R05"));
    EXPECT_NEAR(eave_height(same, "R05"), 4.25, 1e-9);
    // The earlier screening adds nothing.
    EXPECT_EQ(same.tables.at("roofs"), run(old_basin(), kR05, "").tables.at("roofs"));
}

TEST_F(Reissued, NewIdsAndSlightlyOtherOutlinesCarryTheValues) {
    SmallBasin now = old_basin();
    std::ranges::reverse(now.roofs);
    for (SmallRoof& roof : now.roofs) {
        roof.id = "N" + roof.id;
        roof.corner.x += 1.1;
        roof.corner.y -= 0.8;
        roof.depth_m += 0.6;
    }
    const OverrideRun found = run(now, kR05);
    EXPECT_THAT(found.outcomes(), ElementsAre("carried NR05"));
    EXPECT_NEAR(eave_height(found, "NR05"), 4.25, 1e-9);
    EXPECT_THAT(text(found.roof("NR05"), "flags"), HasSubstr("measured"));
    EXPECT_THAT(found.warnings, ::testing::Not(HasSubstr("overrides")));
    EXPECT_THAT(found.notes, HasSubstr("row 1, roof 'R05' -> 'NR05'"));
    // Without the old outlines nothing tells where R05 was.
    const OverrideRun lost = run(now, kR05, "");
    EXPECT_THAT(lost.outcomes(), ElementsAre("no_match"));
    EXPECT_THAT(lost.warnings, HasSubstr("nothing is known of the old outline"));
    EXPECT_NEAR(*number(lost.tables.at("overrides").at(0), "eave_height_m"), 4.25, 0.0);
}

TEST_F(Reissued, ASplitBuildingIsAmbiguous) {
    SmallBasin now = old_basin();
    SmallRoof west = named(now, "A");
    west.id = "A1";
    west.width_m /= 2.0;
    SmallRoof east = west;
    east.id = "A2";
    east.corner.x += west.width_m;
    named(now, "A") = west;
    now.roofs.push_back(east);
    const std::string csv = "roof_id,eave_height_m\nA,4.25\n";
    const OverrideRun found = run(now, csv);
    EXPECT_THAT(found.outcomes(), ElementsAre("ambiguous"));
    EXPECT_THAT(found.warnings, HasSubstr("2 roofs lie where the old one lay: A1, A2"));
    EXPECT_EQ(found.roof("A1"), run(now, "roof_id,eave_height_m\n").roof("A1"));
    // A half that kept the id is the one that is meant.
    named(now, "A1").id = "A";
    EXPECT_THAT(run(now, csv).outcomes(), ElementsAre("applied A"));
}

TEST_F(Reissued, MergedBuildingsTakeValuesThatDoNotContradict) {
    SmallBasin now = old_basin();
    named(now, "A").width_m += named(now, "B").width_m;
    named(now, "A").id = "AB";
    std::erase_if(now.roofs, [](const SmallRoof& roof) { return roof.id == "B"; });
    EXPECT_THAT(run(now, "roof_id,eave_height_m\nA,4.25\nB,4.25\n").outcomes(),
                ElementsAre("carried AB", "carried AB"));
    const OverrideRun apart = run(now, "roof_id,eave_height_m,connected_share\nA,4.25,\nB,,0.5\n");
    EXPECT_THAT(apart.outcomes(), ElementsAre("carried AB", "carried AB"));
    EXPECT_NEAR(eave_height(apart, "AB"), 4.25, 1e-9);
    EXPECT_EQ(number(apart.roof("AB"), "connected_share"), 0.5);
    const OverrideRun against = run(now, "roof_id,eave_height_m\nA,4.25\nB,3\n");
    EXPECT_THAT(against.outcomes(), ElementsAre("ambiguous", "ambiguous"));
    EXPECT_THAT(text(against.roof("AB"), "flags"), ::testing::Not(HasSubstr("measured")));
}

TEST_F(Reissued, ABuildingThatIsGoneOrMovedAwayFindsNoMatch) {
    SmallBasin now = old_basin();
    named(now, "R05").corner.x += 60.0;
    const OverrideRun found = run(now, kR05);
    EXPECT_THAT(found.outcomes(), ElementsAre("no_match"));
    EXPECT_THAT(found.warnings, HasSubstr("shares more than half of the smaller area"));
    std::erase_if(now.roofs, [](const SmallRoof& roof) { return roof.id == "R05"; });
    EXPECT_THAT(run(now, kR05).outcomes(), ElementsAre("no_match"));
}

TEST_F(Reissued, AnIdUsedAgainForAnotherBuildingDoesNotTakeTheValues) {
    SmallBasin now = old_basin();
    std::swap(named(now, "R05").id, named(now, "R07").id);
    const OverrideRun found = run(now, kR05);
    EXPECT_THAT(found.outcomes(), ElementsAre("carried R07"));
    EXPECT_NEAR(eave_height(found, "R07"), 4.25, 1e-9);
    // By the id alone the wrong building would have it.
    EXPECT_THAT(run(now, kR05, "").outcomes(), ElementsAre("applied R05"));
}

TEST_F(Reissued, AnIdThatStandsTwiceIsAmbiguousUnlessTheOutlineTells) {
    SmallBasin now = old_basin();
    named(now, "R07").id = "R05";
    EXPECT_THAT(run(now, kR05, "").outcomes(), ElementsAre("ambiguous"));
    EXPECT_THAT(run(now, kR05, "").warnings, HasSubstr("2 roofs have this id"));
    EXPECT_THAT(run(now, kR05).outcomes(), ElementsAre("applied R05"));
}

TEST_F(Reissued, ABuildingThatStandsInTheLayerTwiceIsOne) {
    SmallBasin now = old_basin();
    named(now, "R05").id = "N1";
    SmallRoof twice = named(now, "N1");
    twice.id = "N2";
    now.roofs.push_back(twice);
    const OverrideRun found = run(now, kR05);
    EXPECT_THAT(found.outcomes(), ElementsAre("carried N1"));
    EXPECT_EQ(text(found.roof("N2"), "status"), "duplicate");
}

TEST_F(Reissued, TheOldOutlinesMayStandInTheTableItself) {
    SmallBasin now = old_basin();
    const std::string old_outline = wkt_in("EPSG:4326", outline_of(named(now, "R05")));
    named(now, "R05").id = "N1";
    named(now, "N1").corner.y += 1.0;
    const TempFolder folder;
    testing::LayerToWrite layer{.name = "measured", .crs = "EPSG:4326"};
    layer.fields = {{"roof_id"}, {"eave_height_m", OFTReal}};
    layer.rows = {{old_outline, {"R05", "4.25"}}};
    testing::write_vector("GPKG", folder.file("measured.gpkg"), {layer});
    now.settings += "[overrides]\nsource = \"measured.gpkg\"\n";
    const OverrideRun found = run_of(write_basin(folder, now), folder.file("out.gpkg"));
    EXPECT_THAT(found.outcomes(), ElementsAre("carried N1"));
    EXPECT_NEAR(eave_height(found, "N1"), 4.25, 1e-9);
}

TEST_F(Reissued, ParcelsCarryByTheSameRule) {
    SmallBasin now = old_basin();
    const TempFolder folder;
    std::filesystem::copy_file(s_folder->file("old.gpkg"), folder.file("old.gpkg"));
    now.settings += "[overrides]\nsource = \"measured.csv\"\nformer = \"old.gpkg\"\n";
    const std::string project = write_basin(folder, now);
    folder.write("measured.csv", "parcel_id,season_use_m3\nPR05,31.5\nPR07,20\n");
    // The assessor numbered them anew, and the second is no more.
    testing::LayerToWrite layer = layer_in("parcels", kBasinCrs);
    layer.fields = {{"apn"}, {"people", OFTReal}, {"garden", OFTReal}, {"source"}};
    for (const SmallRoof& roof : small_roofs()) {
        if (roof.id == "R05" || roof.id == "R09") {
            const SmallRoof ground{
                .id = "", .corner = {roof.corner.x - 29.0, roof.corner.y - 30.5}, .width_m = 60.0, .depth_m = 60.0};
            layer.rows.push_back({wkt_of(outline_of(ground)), {"NEW-" + roof.id, "3", "150", "creek"}});
        }
    }
    std::filesystem::remove(folder.file("parcels.gpkg"));
    testing::write_vector("GPKG", folder.file("parcels.gpkg"), {layer});
    const OverrideRun found = run_of(project, folder.file("out.gpkg"));
    EXPECT_THAT(found.outcomes(), ElementsAre("carried NEW-R05", "no_match"));
    EXPECT_NEAR(number(found.roof("R05"), "demand_m3").value(), 31.5, 1e-9);
    EXPECT_THAT(text(found.parcel("NEW-R05"), "flags"), HasSubstr("measured"));
}

TEST_F(Reissued, AnEarlierScreeningWithoutItsLayersIsAnError) {
    SmallBasin now = old_basin();
    const TempFolder folder;
    testing::write_vector("GPKG", folder.file("old.gpkg"), {layer_in("houses", kBasinCrs)});
    EXPECT_THROW((void)run_with(folder, now, kR05, kFormer), Error);
    try {
        (void)run_with(folder, now, kR05, kFormer);
    } catch (const Error& error) {
        EXPECT_EQ(error.fault(), Fault::input);
        EXPECT_THAT(error.what(), HasSubstr("overrides.former"));
        EXPECT_THAT(error.what(), HasSubstr("'roofs'"));
    }
}

}  // namespace
}  // namespace eaveshed
