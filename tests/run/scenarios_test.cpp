#include <gtest/gtest.h>

#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/output_file.hpp"

namespace eaveshed::run {
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

}  // namespace
}  // namespace eaveshed::run
