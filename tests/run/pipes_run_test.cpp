// Layers pipes and pad_ground of the demo basin against its other layers.
#include <gtest/gtest.h>

#include <cmath>

#include "run/run_project.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using testing::OutputFile;
using testing::OutputRow;
using testing::TempFolder;

class PipesOfTheDemo : public ::testing::Test {
protected:
    static void SetUpTestSuite() {
        s_folder = new TempFolder;
        screened(demo_project(), s_folder->file("demo.gpkg"));
    }
    static void TearDownTestSuite() { delete s_folder; }
    static OutputFile file() { return OutputFile(s_folder->file("demo.gpkg")); }
    static inline TempFolder* s_folder = nullptr;
};

TEST_F(PipesOfTheDemo, EveryPadHasItsPipesAndItsGround) {
    EXPECT_EQ(file().count("SELECT COUNT(*) FROM pad_ground"), file().count("SELECT COUNT(*) FROM pads"));
    EXPECT_EQ(file().count("SELECT COUNT(*) FROM pipes WHERE kind = 'feed'"),
              file().count("SELECT COUNT(*) FROM pads"));
    EXPECT_EQ(file().count("SELECT COUNT(*) FROM pipes WHERE kind = 'fill' AND level = 'roof'"),
              file().count("SELECT COUNT(*) FROM pads WHERE level = 'roof'"));
    EXPECT_EQ(file().count("SELECT COUNT(*) FROM pads p WHERE NOT EXISTS (SELECT 1 FROM pad_ground g WHERE "
                           "g.roof_id = p.roof_id AND g.level = p.level AND g.pad_radius_m = p.pad_radius_m)"),
              0);
}

TEST_F(PipesOfTheDemo, LengthsAndHeightsAreThoseOfThePads) {
    std::size_t seen = 0;
    for (const OutputRow& row : file().rows(
             "SELECT p.fill_distance_m, p.pipe_m, p.pad_elev_m, p.use_elev_m, r.eave_elev_m, f.length_m AS fill_m, "
             "f.start_elev_m AS gutter_m, f.end_elev_m AS top_m, d.length_m AS feed_m, d.start_elev_m AS outlet_m, "
             "d.end_elev_m AS tap_m, p.fill_margin_m FROM pads p JOIN roofs r USING (roof_id) JOIN pipes f ON "
             "f.roof_id = p.roof_id AND f.level = 'roof' AND f.kind = 'fill' JOIN pipes d ON d.roof_id = p.roof_id "
             "AND d.level = 'roof' AND d.kind = 'feed' WHERE p.level = 'roof'")) {
        const auto number = [&](const char* name) { return testing::number(row, name).value(); };
        ++seen;
        EXPECT_EQ(number("fill_m"), number("fill_distance_m"));
        EXPECT_EQ(number("feed_m"), number("pipe_m"));
        EXPECT_EQ(number("gutter_m"), number("eave_elev_m"));
        EXPECT_NEAR(number("outlet_m"), number("pad_elev_m") + 0.1, 1e-9);  // siting.outlet_height_m
        EXPECT_NEAR(number("tap_m"), number("use_elev_m") + 0.6, 1e-9);     // siting.tap_height_m
        // method.md 6: fill margin = eave - (zp + h) - fill_loss_m - fill_gradient x distance.
        EXPECT_NEAR(number("gutter_m") - number("top_m") - 0.3 - 0.01 * number("fill_m"), number("fill_margin_m"),
                    1e-9);
    }
    EXPECT_GT(seen, 200U);
}

TEST_F(PipesOfTheDemo, FillPipesOfAParcelAreThoseOfItsConnectedRoofs) {
    EXPECT_EQ(
        file().count("SELECT COUNT(*) FROM (SELECT a.parcel_id, SUM(f.length_m) AS sum_m, a.fill_distance_m AS all_m "
                     "FROM parcels a JOIN pipes f ON f.parcel_id = a.parcel_id AND f.level = 'parcel' AND f.kind = "
                     "'fill' GROUP BY a.fid) WHERE abs(sum_m - all_m) > 1e-9"),
        0);
    EXPECT_GT(file().count("SELECT COUNT(*) FROM pipes WHERE level = 'parcel' AND kind = 'fill'"),
              file().count("SELECT COUNT(*) FROM pads WHERE level = 'parcel'"));
}

// A pump lifts what does not fall; a long line is buried.
TEST_F(PipesOfTheDemo, ALiftedOrLongLineIsWet) {
    EXPECT_EQ(
        file().count("SELECT COUNT(*) FROM pipes WHERE fill_line = 'dry' AND (end_elev_m >= start_elev_m OR length_m > "
                     "12)"),
        0);
    EXPECT_GT(file().count("SELECT COUNT(*) FROM pads WHERE fill_line = 'dry'"), 20);
    EXPECT_GT(file().count("SELECT COUNT(*) FROM pads WHERE fill_line = 'wet'"), 20);
    EXPECT_EQ(file().count("SELECT COUNT(*) FROM pipes WHERE kind = 'feed' AND fill_line IS NOT NULL"), 0);
}

}  // namespace
}  // namespace eaveshed
