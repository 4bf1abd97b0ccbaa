#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "eaveshed/offer/call_list.hpp"
#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/expect_error.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using testing::OutputFile;
using testing::TempFolder;

TEST(ScenariosTable, HasEveryPropertyWithStorageOnceAScenario) {
    const TempFolder folder;
    SmallBasin basin;
    basin.settings =
        "[[scenarios]]\nname = \"dry\"\nrain_factor = 0.7\n[[scenarios]]\nname = \"hot\"\net0_factor = 1.2\n";
    const std::string project = write_basin(folder, basin);
    screened(project, folder.file("one.gpkg"));
    screened(project, folder.file("two.gpkg"), {.threads = 3, .tile_side_m = 130.0});
    const OutputFile file(folder.file("one.gpkg"));
    EXPECT_EQ(file.text("SELECT COUNT(*) FROM scenarios WHERE parcel_id IS NOT NULL"),
              file.text("SELECT 2 * COUNT(*) FROM parcels WHERE forbearance_m3 IS NOT NULL"));
    EXPECT_EQ(file.text("SELECT COUNT(*) FROM scenarios WHERE roof_id IS NOT NULL"),
              file.text("SELECT 2 * COUNT(*) FROM roofs WHERE parcel_id IS NULL AND forbearance_m3 IS NOT NULL"));
    EXPECT_EQ(file.text("SELECT group_concat(scenario) FROM (SELECT DISTINCT scenario FROM scenarios ORDER BY 1)"),
              "dry,hot");
    EXPECT_EQ(file.text("SELECT COUNT(*) FROM scenarios AS s JOIN parcels AS p USING (parcel_id) "
                        "WHERE s.forbearance_now_m3 <> p.forbearance_m3"),
              "0");
    // A dry winter gives less water; the demand can grow, and with it what is replaced.
    EXPECT_EQ(file.text("SELECT COUNT(*) FROM scenarios AS s JOIN parcels AS p USING (parcel_id) "
                        "WHERE s.scenario = 'dry' AND s.harvest_mean_m3 >= p.harvest_mean_m3"),
              "0");
    const auto all = [](const OutputFile& of) { return of.rows("SELECT * FROM scenarios ORDER BY fid"); };
    EXPECT_EQ(all(file), all(OutputFile(folder.file("two.gpkg"))));
}

// What `rank` makes of the rows of a finished file is what `screen` makes of its own.
TEST(ScenariosTable, RanksTheSameFromTheFileAsInTheScreening) {
    const TempFolder folder;
    SmallBasin basin;
    const std::string scenarios =
        "[[scenarios]]\nname = \"dry\"\nrain_factor = 0.2\n[[scenarios]]\nname = \"hot\"\net0_factor = 1.2\n";
    basin.settings = scenarios + "[rank]\ndraws = 40\ntop = 3\n";
    screened(write_basin(folder, basin), folder.file("now.gpkg"));
    for (const std::string by : {"worst", "dry", "hot"}) {
        basin.settings = scenarios + "[rank]\ndraws = 40\ntop = 3\nscenario = \"" + by + "\"\n";
        const std::string out = folder.file(by + ".gpkg");
        screened(folder.write("again.toml", project_text(basin)), out);
        const OutputFile file(out);
        EXPECT_EQ(file.record("setting.rank.scenario"), by);
        Findings findings;
        RankRequest asked;
        asked.file = folder.file("now.gpkg");
        asked.scenario = by;
        const CallList list = call_list(asked, findings);
        const auto stored = file.rows("SELECT * FROM parcels WHERE rank IS NOT NULL ORDER BY rank");
        ASSERT_EQ(list.parcels.size(), stored.size());
        ASSERT_GT(stored.size(), 5U);
        for (std::size_t i = 0; i < stored.size(); ++i) {
            const ParcelRow& row = list.parcels[i];
            EXPECT_EQ(row.parcel_id, testing::text(stored[i], "parcel_id"));
            EXPECT_EQ(row.score, testing::number(stored[i], "score"));
            EXPECT_EQ(row.rank_stability, testing::number(stored[i], "rank_stability"));
            EXPECT_EQ(row.rank_scenario, testing::text(stored[i], "rank_scenario"));
            // The list shows the volumes that were counted; the least of all where the worst was asked for.
            const std::string least =
                by == "worst" ? "MIN(forbearance_now_m3, MIN(forbearance_m3))" : "MAX(forbearance_m3)";
            EXPECT_NEAR(
                row.forbearance_m3.value(),
                std::stod(file.text("SELECT printf('%.17g', " + least + ") FROM scenarios WHERE parcel_id = '" +
                                    row.parcel_id + "'" + (by == "worst" ? "" : " AND scenario = '" + by + "'"))),
                1e-9);
        }
        EXPECT_THAT(call_text(list, 5), ::testing::HasSubstr(by == "worst" ? "worst scenario" : "\"" + by + "\""));
    }
}

TEST(ScenariosTable, UnknownScenariosAreToldWithTheKnownOnes) {
    const TempFolder folder;
    SmallBasin basin;
    basin.settings = "[[scenarios]]\nname = \"dry\"\nrain_factor = 0.7\n[rank]\ndraws = 0\n";
    screened(write_basin(folder, basin), folder.file("with.gpkg"));
    basin.settings.clear();
    screened(folder.write("plain.toml", project_text(basin)), folder.file("without.gpkg"));
    const auto ranked = [&](const std::string& file, const std::string& by) {
        Findings findings;
        RankRequest asked;
        asked.file = folder.file(file);
        asked.scenario = by;
        asked.draws = 0;
        static_cast<void>(call_list(asked, findings));
    };
    testing::expect_input_error([&] { ranked("with.gpkg", "dri"); }, {"--scenario", "dri", "now, worst, dry", "'dry'"});
    testing::expect_input_error([&] { ranked("without.gpkg", "worst"); },
                                {"--scenario", "without.gpkg", "[[scenarios]]", "screen again"});
    ranked("without.gpkg", "now");
}

}  // namespace
}  // namespace eaveshed
