// method.md 4.12: the default garden is cut to the ground of the parcel that no roof covers, from the files to the
// demand.
#include <gtest/gtest.h>

#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using testing::by_roof;
using testing::number;
using testing::OutputFile;
using testing::TempFolder;
using testing::text;

// Every roof by its id, in a screening in which the parcels say nothing of gardens.
std::map<std::string, testing::OutputRow> roofs_with_garden(const TempFolder& folder, const std::string& garden_m2) {
    std::string project = project_text({.settings = "[demand]\nhome_share = 0\ngarden_m2 = " + garden_m2 + "\n"});
    const std::string field = "irrigated_area_m2 = \"garden\"\n";
    project.erase(project.find(field), field.size());
    const std::string out = folder.file(garden_m2 + ".gpkg");
    screened(folder.write(garden_m2 + ".toml", project), out);
    return by_roof(OutputFile(out).rows("SELECT * FROM roofs ORDER BY fid"));
}

TEST(OpenGround, LimitsTheDefaultGardenOfAParcel) {
    const TempFolder folder;
    SmallBasin basin;
    (void)write_basin(folder, basin);
    const auto small = roofs_with_garden(folder, "1000");
    const auto large = roofs_with_garden(folder, "50000");
    constexpr double kScale = 0.9996;  // of the projection along its central meridian
    int in_parcels = 0;
    for (const auto& [id, row] : large) {
        // The take is all garden, so that it tells the garden's size.
        const double garden_m2 = 1000.0 * *number(row, "demand_m3") / *number(small.at(id), "demand_m3");
        if (text(row, "parcel_id").empty()) {
            EXPECT_NEAR(garden_m2, 50000.0, 1e-6) << id;
        } else {
            ++in_parcels;
            EXPECT_NEAR(garden_m2, 3600.0 / (kScale * kScale) - *number(row, "plan_area_m2"), 0.2) << id;
        }
    }
    EXPECT_GT(in_parcels, 8);
    EXPECT_LT(in_parcels, 24);
}

}  // namespace
}  // namespace eaveshed
