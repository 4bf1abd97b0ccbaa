// Reports of small basins of other kinds: without parcels, in degrees, with scenarios; and the lie of their land.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/report/relief.hpp"
#include "eaveshed/report/report.hpp"
#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/expect_error.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using testing::TempFolder;

std::string small_page(const TempFolder& folder, const SmallBasin& basin, bool open_to_all = false) {
    screened(write_basin(folder, basin), folder.file("out.gpkg"));
    Findings findings;
    const ReportDone done = write_report(
        {.file = folder.file("out.gpkg"), .folder = folder.file("report"), .open_to_all = open_to_all}, findings);
    EXPECT_TRUE(findings.list().empty());
    std::ifstream in(done.files.at(0), std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

bool says(const std::string& html, const std::string& part) {
    return html.find(part) != std::string::npos;
}

TEST(ReportOfASmallBasin, WithoutParcelsListsRoofsAndPretendsNoRank) {
    const TempFolder folder;
    SmallBasin basin;
    basin.parcels_crs.clear();
    const std::string html = small_page(folder, basin);
    EXPECT_TRUE(says(html, "Roofs with a place for a tank"));
    EXPECT_TRUE(says(html, "Without parcels each roof is taken as a household of its own."));
    EXPECT_TRUE(says(html, ">R05</th>"));
    EXPECT_TRUE(says(html, "none of them is known to draw on the creek"));
    EXPECT_TRUE(says(html, "Largest first, no ranking"));
    EXPECT_FALSE(says(html, "Whom to call first"));
    EXPECT_FALSE(says(html, ">rank</th>"));
    EXPECT_FALSE(says(html, "href=\"#rank-"));
    // What the creek gains is not known, and not 0.
    EXPECT_FALSE(says(html, "<td class=\"n\">0</td>"));
}

TEST(ReportOfASmallBasin, InDegreesIsDrawnOverElevationsInMetres) {
    const TempFolder folder;
    SmallBasin basin;
    basin.footprints_crs = "EPSG:4326";
    basin.parcels_crs = "EPSG:4326";
    const std::string html = small_page(folder, basin);
    EXPECT_TRUE(says(html, "data:image/png;base64,"));
    EXPECT_TRUE(says(html, "id=\"rank-1\""));
    EXPECT_TRUE(says(html, ">200 m<"));  // the basin is 1.5 km wide: a quarter of the window holds 200 m
}

TEST(ReportOfASmallBasin, ScenariosStandWithTheirSums) {
    const TempFolder folder;
    SmallBasin basin;
    basin.settings = "[[scenarios]]\nname = \"<dry>\"\nrain_factor = 0.3\n";
    const std::string html = small_page(folder, basin);
    const testing::OutputFile file(folder.file("out.gpkg"));
    const auto sum = [&](const std::string& column) {
        return QuantityText(OutputUnits::si)
            .entry("m3", std::stod(file.text("SELECT SUM(" + column + ") FROM scenarios")));
    };
    EXPECT_TRUE(says(html, ">&lt;dry&gt;</th><td class=\"n\">" + sum("forbearance_now_m3") + "</td><td class=\"n\">" +
                               sum("forbearance_m3") + "</td><td class=\"n\">" + sum("added_forbearance_m3") +
                               "</td>"));
}

TEST(ReportOfASmallBasin, ForAllRoofsAreNotNamedEither) {
    const TempFolder folder;
    SmallBasin basin;
    basin.parcels_crs.clear();
    for (SmallRoof& roof : basin.roofs) {
        roof.id = "house " + roof.id;  // not found by chance in the letters of a picture
    }
    const std::string html = small_page(folder, basin, true);
    for (const SmallRoof& roof : basin.roofs) {
        EXPECT_FALSE(says(html, roof.id)) << roof.id;
    }
}

// A plane that rises 0.1 to the east and falls 0.05 to the north, over 200 x 100 cells of 2 m.
class ReliefOfAPlane : public ::testing::Test {
protected:
    ReliefOfAPlane() {
        testing::RasterSpec spec;
        spec.crs = kBasinCrs;
        spec.type = GDT_Float64;
        spec.cols = 200;
        spec.rows = 100;
        spec.transform = {kX0, 2.0, 0.0, kY0 + 200.0, 0.0, -2.0};
        std::vector<double>& values = spec.bands.emplace_back();
        for (int row = 0; row < spec.rows; ++row) {
            for (int col = 0; col < spec.cols; ++col) {
                values.push_back(height({kX0 + 2.0 * col + 1.0, kY0 + 200.0 - 2.0 * row - 1.0}));
            }
        }
        m_terrain.elevation = {m_folder.file("dem.tif")};
        testing::write_raster(m_terrain.elevation.front(), spec);
    }
    static double height(Point place) { return 100.0 + 0.1 * (place.x - kX0) - 0.05 * (place.y - kY0); }
    [[nodiscard]] std::optional<Relief> relief(const Box& box, double cell_m) {
        return read_relief(m_terrain, m_crs, box, cell_m, m_findings);
    }
    TempFolder m_folder;
    TerrainSettings m_terrain;
    Findings m_findings;
    Crs m_crs = crs_from_text(kBasinCrs, "test");
};

TEST_F(ReliefOfAPlane, HasTheMeansOfItsCells) {
    const auto coarse = relief({kX0 + 40.0, kY0 + 40.0, kX0 + 240.0, kY0 + 140.0}, 9.0);
    ASSERT_TRUE(coarse.has_value());
    EXPECT_DOUBLE_EQ(coarse->cell_width_m, 8.0);  // four cells: no wider than asked for
    EXPECT_EQ(coarse->elevation_m.range, (CellRange{0, coarse->grid.rows, 0, coarse->grid.cols}));
    for (std::int64_t row = 0; row + 1 < coarse->grid.rows; ++row) {  // the last may be cut
        for (std::int64_t col = 0; col + 1 < coarse->grid.cols; ++col) {
            EXPECT_NEAR(coarse->elevation_m.at(row, col), height(coarse->grid.centre({row, col})), 1e-9);
        }
    }
    const auto fine = relief({kX0 + 40.0, kY0 + 40.0, kX0 + 60.0, kY0 + 60.0}, 0.1);
    ASSERT_TRUE(fine.has_value());
    EXPECT_DOUBLE_EQ(fine->cell_width_m, 2.0);
    EXPECT_FALSE(relief({kX0 + 4000.0, kY0, kX0 + 4100.0, kY0 + 100.0}, 2.0).has_value());
}

TEST_F(ReliefOfAPlane, IsOneGreyInsideAndNothingBeyond) {
    const Box box{kX0, kY0, kX0 + 400.0, kY0 + 200.0};
    const auto plane = relief(box, 2.0);
    ASSERT_TRUE(plane.has_value());
    const MapFrame frame(box.grown(400.0, 200.0), {0.0, 0.0, 60.0, 30.0}, {}, 0.0);
    const GreyImage image = relief_picture(*plane, frame, m_crs, 2.0);
    ASSERT_EQ(image.rows, 60);
    ASSERT_EQ(image.cols, 120);
    const std::size_t middle = 30 * 120 + 60;
    EXPECT_EQ(image.alpha[middle], 255);
    std::size_t seen = 0;
    for (std::int64_t row = 0; row < image.rows; ++row) {
        for (std::int64_t col = 0; col < image.cols; ++col) {
            const auto at = static_cast<std::size_t>(row * image.cols + col);
            const bool inside = row >= 20 && row < 40 && col >= 40 && col < 80;
            if (image.alpha[at] != 0) {
                EXPECT_TRUE(inside) << row << ' ' << col;
                EXPECT_EQ(image.grey[at], image.grey[middle]);
                ++seen;
            }
        }
    }
    EXPECT_GT(seen, 700U);  // 800 less its edge
}

}  // namespace
}  // namespace eaveshed
