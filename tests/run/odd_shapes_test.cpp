// Footprints of every shape that files bring: a row for each, with its status, its flags and its area.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using testing::number;
using testing::OutputFile;
using testing::TempFolder;
using testing::text;

using Ring2 = std::vector<std::pair<double, double>>;

struct OddShape {
    const char* name;
    std::string wkt;  // about the place of the case
    const char* status = "ok";
    bool repaired = false;
    double area_m2 = 0.0;  // in the plane
};

// Rings about a place of their own for each case.
std::string rings(int place, const std::vector<Ring2>& given) {
    const double x = kX0 + 150.0 + 90.0 * (place % 12);
    const double y = kY0 + 150.0 + 110.0 * (place / 12);
    std::string all;
    for (const Ring2& ring : given) {
        std::string points;
        for (const auto& [dx, dy] : ring) {
            points += fmt::format("{}{:.6f} {:.6f}", points.empty() ? "" : ",", x + dx, y + dy);
        }
        all += (all.empty() ? "(" : ",(") + points + ")";
    }
    return "(" + all + ")";
}

const Ring2 kSquare{{0, 0}, {20, 0}, {20, 20}, {0, 20}, {0, 0}};

std::vector<OddShape> odd_shapes() {
    int place = 0;
    const auto polygon = [&](const std::vector<Ring2>& given) { return "POLYGON" + rings(place++, given); };
    const Ring2 hole{{5, 5}, {15, 5}, {15, 15}, {5, 15}, {5, 5}};
    const Ring2 outside{{40, 0}, {45, 0}, {45, 5}, {40, 5}, {40, 0}};
    std::vector<OddShape> shapes{
        {"square", polygon({kSquare}), "ok", false, 400.0},
        {"clockwise", polygon({{{0, 0}, {0, 20}, {20, 20}, {20, 0}, {0, 0}}}), "ok", false, 400.0},
        {"courtyard", polygon({kSquare, hole}), "ok", false, 300.0},
        {"bow-tie", polygon({{{0, 0}, {20, 20}, {20, 0}, {0, 20}, {0, 0}}}), "ok", true, 200.0},
        {"ring that touches itself", polygon({{{0, 0}, {20, 0}, {20, 20}, {10, 0}, {0, 20}, {0, 0}}}), "ok", true,
         200.0},
        {"hole outside", polygon({kSquare, outside}), "ok", true, 425.0},
        {"spike", polygon({{{0, 0}, {20, 0}, {20, 20}, {10, 20}, {10, 60}, {10, 20}, {0, 20}, {0, 0}}}), "ok", true,
         400.0},
        {"no area", polygon({{{0, 0}, {20, 0}, {0, 0}, {0, 0}}}), "bad_geometry"},
        {"sliver", polygon({{{0, 0}, {60, 0}, {60, 0.1}, {0, 0.1}, {0, 0}}}), "too_small", false, 6.0},
        {"small", polygon({{{0, 0}, {4, 0}, {4, 4}, {0, 4}, {0, 0}}}), "too_small", false, 16.0},
        {"empty", "POLYGON EMPTY", "bad_geometry"},
        {"nothing", "", "bad_geometry"},
        {"line", fmt::format("LINESTRING({} {},{} {})", kX0, kY0, kX0 + 50.0, kY0), "bad_geometry"},
        {"point", fmt::format("POINT({} {})", kX0, kY0), "bad_geometry"},
        {"collection without an area", fmt::format("GEOMETRYCOLLECTION(POINT({} {}))", kX0, kY0), "bad_geometry"}};
    shapes.push_back(
        {"nested", "MULTIPOLYGON(" + rings(place, {kSquare}) + "," + rings(place, {hole}) + ")", "ok", true, 300.0});
    ++place;
    shapes.push_back({"two parts", "MULTIPOLYGON(" + rings(place, {kSquare}) + "," + rings(place, {outside}) + ")",
                      "ok", false, 425.0});
    ++place;
    shapes.push_back({"area beside a point",
                      fmt::format("GEOMETRYCOLLECTION(POINT({} {}),POLYGON{})", kX0, kY0, rings(place, {kSquare})),
                      "ok", false, 400.0});
    ++place;
    // GDAL's arcs become straight in steps of 4 degrees: a polygon of 90 sides in a circle of radius 10.
    const double x = kX0 + 700.0;
    const double y = kY0 + 700.0;
    shapes.push_back({"circle", fmt::format("CURVEPOLYGON(CIRCULARSTRING({} {},{} {},{} {}))", x, y, x + 20.0, y, x, y),
                      "ok", false, 0.5 * 90.0 * 100.0 * std::sin(4.0 * M_PI / 180.0)});
    shapes.push_back(
        {"heights and measures",
         fmt::format("POLYGON ZM(({0} {1} 5 1,{2} {1} 6 2,{2} {3} 7 3,{0} {1} 5 4))", x + 60.0, y, x + 80.0, y + 20.0),
         "ok", false, 200.0});
    Ring2 round;
    for (int i = 0; i <= 100000; ++i) {
        const double angle = 2.0 * M_PI * (i % 100000) / 100000.0;
        round.emplace_back(20.0 + 20.0 * std::cos(angle), 20.0 + 20.0 * std::sin(angle));
    }
    shapes.push_back({"round, with 100,000 corners", "POLYGON" + rings(place, {round}), "ok", false, 400.0 * M_PI});
    shapes.push_back({"again", shapes.front().wkt, "duplicate", false, 400.0});
    shapes.push_back({"again, the other way round",
                      "POLYGON" + rings(0, {{{20, 20}, {20, 0}, {0, 0}, {0, 20}, {20, 20}}}), "duplicate", false,
                      400.0});
    shapes.push_back({"half upon the first", "POLYGON" + rings(0, {{{0, 0}, {12, 0}, {12, 20}, {0, 20}, {0, 0}}}), "ok",
                      false, 240.0});
    return shapes;
}

TEST(OddShapes, AreAllThereWithTheirStatusAndTheAreaThatIsLeft) {
    const TempFolder folder;
    const std::string project = write_basin(folder, {});
    const std::vector<OddShape> shapes = odd_shapes();
    testing::LayerToWrite layer = layer_in("buildings", kBasinCrs);
    layer.type = wkbUnknown;
    layer.fields = {{"id"}, {"mat"}, {"floors"}, {"apn"}};
    for (const OddShape& shape : shapes) {
        layer.rows.push_back({shape.wkt, {shape.name, "metal", "1", std::nullopt}});
    }
    std::filesystem::remove(folder.file("buildings.gpkg"));
    testing::write_vector("GPKG", folder.file("buildings.gpkg"), {layer});
    const ScreenResult result = screened(project, folder.file("out.gpkg"));
    EXPECT_EQ(result.counts.rows(), shapes.size());
    const OutputFile file(folder.file("out.gpkg"));
    const auto rows = file.rows("SELECT * FROM roofs ORDER BY fid");
    ASSERT_EQ(rows.size(), shapes.size());
    for (std::size_t i = 0; i < rows.size(); ++i) {
        SCOPED_TRACE(shapes[i].name);
        EXPECT_EQ(text(rows[i], "roof_id"), shapes[i].name);
        EXPECT_EQ(text(rows[i], "status"), shapes[i].status);
        const std::string flags = text(rows[i], "flags");
        EXPECT_EQ(flags.find("repaired") != std::string::npos, shapes[i].repaired) << flags;
        const bool overlaps = i == 0 || i + 1 == rows.size();
        EXPECT_EQ(flags.find("overlaps") != std::string::npos, overlaps) << flags;
        const auto area_m2 = number(rows[i], "plan_area_m2");
        ASSERT_EQ(area_m2.has_value(), shapes[i].area_m2 > 0.0);
        if (area_m2) {
            // The zone's scale factor is within 4 parts in 10,000 of 1.
            EXPECT_NEAR(*area_m2 / shapes[i].area_m2, 1.0, 1e-3);
        }
    }
}

}  // namespace
}  // namespace eaveshed
