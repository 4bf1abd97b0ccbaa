// Roads and canopy end to end: from files in any CRS to the columns of pads and parcels.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <cstring>
#include <filesystem>

#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/run/check.hpp"
#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/expect_error.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using testing::bytes_of;
using ::testing::HasSubstr;
using testing::number;
using testing::OutputFile;
using testing::OutputRow;
using testing::TempFolder;
using testing::text;

// The place of a pad: the GeoPackage's blob is a header, an envelope and little-endian WKB.
Point place_of(const OutputRow& row) {
    const std::string blob = text(row, "geom");
    constexpr std::size_t kEnvelopeBytes[] = {0, 32, 48, 48, 64};
    const std::size_t wkb = 8 + kEnvelopeBytes[(static_cast<unsigned char>(blob.at(3)) >> 1U) & 7U];
    Point point;
    std::memcpy(&point.x, blob.data() + wkb + 5, sizeof point.x);
    std::memcpy(&point.y, blob.data() + wkb + 13, sizeof point.y);
    return point;
}

// Two roads right through the basin with no vertex inside it, and a short one.
const std::vector<Line>& road_lines() {
    static const std::vector<Line> kRoads{
        {{kX0 - 4000.0, kY0 + 240.0}, {kX0 + 6000.0, kY0 + 260.0}},
        {{kX0 + 700.0, kY0 - 3000.0}, {kX0 + 730.0, kY0 + 5000.0}},
        {{kX0 + 1000.0, kY0 + 900.0}, {kX0 + 1100.0, kY0 + 930.0}, {kX0 + 1090.0, kY0 + 1000.0}}};
    return kRoads;
}

std::string points_in(const std::string& crs, const Line& line) {
    const Transform to(crs_from_text(kBasinCrs, "test"), crs_from_text(crs, "test"), "test");
    std::string points;
    for (const Point& point : line) {
        const Point there = to(point).value();
        points += fmt::format("{}{:.17g} {:.17g}", points.empty() ? "" : ",", there.x, there.y);
    }
    return points;
}

void write_roads(const TempFolder& folder, const std::string& crs) {
    testing::LayerToWrite layer = layer_in("roads", crs);
    layer.type = wkbLineString;
    for (const Line& line : road_lines()) {
        layer.rows.push_back({"LINESTRING(" + points_in(crs, line) + ")"});
    }
    testing::write_vector("GPKG", folder.file("roads.gpkg"), {layer});
}

double canopy_m(Point place) {
    return 4.0 * (1.0 + std::sin(place.x / 3.1) * std::cos(place.y / 2.3));
}

void write_canopy(const TempFolder& folder, const std::string& crs, double cell_m, double unit_m = 1.0) {
    testing::RasterSpec spec =
        raster_over_basin(crs, cell_m, 100.0, 1, [&](int, Point place) { return canopy_m(place) / unit_m; });
    spec.unit = unit_m == 1.0 ? "m" : "ft";
    testing::write_raster(folder.file("canopy.tif"), spec);
}

SmallBasin basin_with(const std::string& settings) {
    SmallBasin basin;
    basin.settings = settings;
    return basin;
}

constexpr const char* kRoads = "[roads]\nsource = \"roads.gpkg\"\n";
constexpr const char* kCanopy = "[canopy]\nsource = \"canopy.tif\"\n";

std::vector<OutputRow> pads_of(const SmallBasin& basin, const TempFolder& folder) {
    for (const char* const written_before : {"buildings.gpkg", "parcels.gpkg"}) {
        std::filesystem::remove(folder.file(written_before));
    }
    screened(write_basin(folder, basin), folder.file("out.gpkg"), {.overwrite = true});
    return OutputFile(folder.file("out.gpkg")).rows("SELECT * FROM pads ORDER BY fid");
}

double distance_to_road(Point place) {
    double least = 1e9;
    for (const Line& line : road_lines()) {
        for (std::size_t i = 1; i < line.size(); ++i) {
            // In small steps: nothing in common with the program's own way.
            for (int k = 0; k <= 200000; ++k) {
                const double t = k / 200000.0;
                least = std::min(least, std::hypot(line[i - 1].x + t * (line[i].x - line[i - 1].x) - place.x,
                                                   line[i - 1].y + t * (line[i].y - line[i - 1].y) - place.y));
            }
        }
    }
    return least;
}

TEST(Roads, AreMeasuredFromEveryPadInAnyCrs) {
    const TempFolder folder;
    write_roads(folder, kBasinCrs);
    const auto here = pads_of(basin_with(std::string(kRoads) + "max_distance_m = 300\n"), folder);
    std::filesystem::remove(folder.file("roads.gpkg"));
    write_roads(folder, "EPSG:4326");
    const auto degrees = pads_of(basin_with(std::string(kRoads) + "max_distance_m = 300\n"), folder);
    std::size_t near = 0;
    std::size_t far = 0;
    ASSERT_EQ(here.size(), degrees.size());
    for (std::size_t i = 0; i < here.size(); ++i) {
        const double expected = distance_to_road(place_of(here[i]));
        const auto found = number(here[i], "road_distance_m");
        ASSERT_EQ(found.has_value(), expected <= 300.0) << expected;
        if (!found) {
            ++far;
            EXPECT_EQ(number(here[i], "road_climb_m"), std::nullopt);
            continue;
        }
        ++near;
        EXPECT_NEAR(*found, expected, 1e-3);
        EXPECT_TRUE(number(here[i], "road_climb_m"));
        // A long edge in degrees is another curve on the ground: some decimetres over 10 km.
        EXPECT_NEAR(*found, number(degrees[i], "road_distance_m").value(), 2.0);
    }
    EXPECT_GT(near, 10U);
    EXPECT_GT(far, 3U);
    const OutputFile file(folder.file("out.gpkg"));
    EXPECT_EQ(file.text("SELECT COUNT(*) FROM parcels JOIN pads USING (parcel_id) WHERE level = 'parcel' AND "
                        "(parcels.road_distance_m IS NOT pads.road_distance_m OR "
                        "parcels.road_climb_m IS NOT pads.road_climb_m)"),
              "0");
    EXPECT_NE(file.text("SELECT COUNT(*) FROM parcels WHERE road_distance_m > 0"), "0");
    EXPECT_EQ(file.text("SELECT COUNT(*) FROM run_record WHERE value = 'roads.source'"), "1");
}

TEST(Roads, GivenAsAreasCountByTheirEdges) {
    const TempFolder folder;
    const std::string edge = "500000 4190400, 501500 4190400, 501500 4190420, 500000 4190420, 500000 4190400";
    testing::LayerToWrite layer = layer_in("roads", kBasinCrs);
    layer.rows = {{"POLYGON((" + edge + "))"}};
    testing::write_vector("GPKG", folder.file("roads.gpkg"), {layer});
    const auto areas = pads_of(basin_with(kRoads), folder);
    std::filesystem::remove(folder.file("roads.gpkg"));
    layer.type = wkbLineString;
    layer.rows = {{"LINESTRING(" + edge + ")"}};
    testing::write_vector("GPKG", folder.file("roads.gpkg"), {layer});
    EXPECT_EQ(pads_of(basin_with(kRoads), folder), areas);
    EXPECT_TRUE(number(areas.at(0), "road_distance_m"));
}

TEST(Canopy, IsCountedOnEveryPadInAnyCrsAndUnit) {
    const TempFolder folder;
    write_canopy(folder, kBasinCrs, 1.0);
    const auto here = pads_of(basin_with(std::string(kCanopy) + "[notes]\ncanopy_height_m = 4\n"), folder);
    // The same by plain counting over the cells of the file.
    const double west = kX0 - 100.0;
    const double north = kY0 + kSideM + 100.0;
    std::size_t mixed = 0;
    for (const OutputRow& pad : here) {
        const Point at = place_of(pad);
        const double radius = number(pad, "pad_radius_m").value();
        double all = 0.0;
        double tall = 0.0;
        for (double y = north - 0.5; y > kY0 - 100.0; y -= 1.0) {
            if (std::abs(y - at.y) > radius) {
                continue;
            }
            for (double x = west + 0.5; x < kX0 + kSideM + 100.0; x += 1.0) {
                if (std::hypot(x - at.x, y - at.y) <= radius) {
                    all += 1.0;
                    tall += canopy_m({x, y}) > 4.0 ? 1.0 : 0.0;
                }
            }
        }
        EXPECT_NEAR(number(pad, "canopy_share").value(), tall / all, 1e-12);
        mixed += tall > 0.0 && tall < all ? 1U : 0U;
    }
    EXPECT_GT(mixed, 10U);
    write_canopy(folder, kBasinCrs, 1.0, 0.3048);
    const auto feet = pads_of(basin_with(std::string(kCanopy) + "[notes]\ncanopy_height_m = 4\n"), folder);
    write_canopy(folder, "EPSG:4326", 1.0);
    const auto degrees = pads_of(basin_with(std::string(kCanopy) + "[notes]\ncanopy_height_m = 4\n"), folder);
    for (std::size_t i = 0; i < here.size(); ++i) {
        EXPECT_EQ(number(here[i], "canopy_share"), number(feet[i], "canopy_share"));
        EXPECT_NEAR(*number(here[i], "canopy_share"), *number(degrees[i], "canopy_share"), 0.2);
    }
    const OutputFile file(folder.file("out.gpkg"));
    EXPECT_EQ(file.text("SELECT COUNT(*) FROM run_record WHERE value = 'canopy.source'"), "1");
}

TEST(RoadsAndCanopy, ChangeNothingElseAndAreTheSameInAnyTilesOnAnyThreads) {
    const TempFolder folder;
    write_roads(folder, kBasinCrs);
    write_canopy(folder, "EPSG:4326", 2.0);
    const std::string project = write_basin(folder, basin_with(std::string(kRoads) + kCanopy));
    screened(project, folder.file("one.gpkg"), {.threads = 1, .tile_side_m = 500.0});
    screened(project, folder.file("small.gpkg"), {.threads = 2, .tile_side_m = 37.0});
    screened(project, folder.file("large.gpkg"), {.threads = 2, .tile_side_m = 5000.0});
    EXPECT_EQ(bytes_of(folder.file("one.gpkg")), bytes_of(folder.file("small.gpkg")));
    EXPECT_EQ(bytes_of(folder.file("one.gpkg")), bytes_of(folder.file("large.gpkg")));
    screened(folder.write("plain.toml", project_text({})), folder.file("plain.gpkg"));
    const OutputFile with(folder.file("one.gpkg"));
    const OutputFile without(folder.file("plain.gpkg"));
    auto roofs = with.rows("SELECT * FROM roofs ORDER BY fid");
    std::size_t with_leaves = 0;
    for (OutputRow& roof : roofs) {
        with_leaves += roof["leaves_share"] != Value() ? 1U : 0U;
        roof["leaves_share"] = Value();
    }
    EXPECT_GT(with_leaves, 0U);
    EXPECT_EQ(roofs, without.rows("SELECT * FROM roofs ORDER BY fid"));
    auto pads = with.rows("SELECT * FROM pads ORDER BY fid");
    for (OutputRow& pad : pads) {
        for (const char* const column : {"road_distance_m", "road_climb_m", "canopy_share"}) {
            pad[column] = Value();
        }
    }
    EXPECT_EQ(pads, without.rows("SELECT * FROM pads ORDER BY fid"));
}

TEST(RoadsAndCanopy, OfAnotherPlaceAreToldAndOfAnotherKindAreErrors) {
    const TempFolder folder;
    testing::LayerToWrite layer = layer_in("roads", kBasinCrs);
    layer.type = wkbLineString;
    layer.rows = {{"LINESTRING(10 4190000, 20 4190000)"}};
    testing::write_vector("GPKG", folder.file("roads.gpkg"), {layer});
    testing::RasterSpec spec;
    spec.transform = {600000.0, 10.0, 0.0, 4300000.0, 0.0, -10.0};
    spec.bands = {{1.0}};
    testing::write_raster(folder.file("canopy.tif"), spec);
    const std::string project = write_basin(folder, basin_with(std::string(kRoads) + kCanopy));
    Findings findings;
    static_cast<void>(check(load_project(project, findings), findings));
    std::string told;
    for (const Finding& finding : findings.list()) {
        told += finding.severity == Severity::warning ? to_text(finding.trouble) + "\n" : "";
    }
    EXPECT_THAT(told, HasSubstr("no pad has a road near it"));
    EXPECT_THAT(told, HasSubstr("no pad's canopy is known"));
    screened(project, folder.file("out.gpkg"));
    EXPECT_EQ(OutputFile(folder.file("out.gpkg"))
                  .text("SELECT COUNT(*) FROM pads WHERE road_distance_m IS NOT NULL OR canopy_share IS NOT NULL"),
              "0");
    layer.type = wkbPoint;
    layer.rows = {{"POINT(500100 4190100)"}};
    std::filesystem::remove(folder.file("roads.gpkg"));
    testing::write_vector("GPKG", folder.file("roads.gpkg"), {layer});
    testing::expect_input_error([&] { screened(project, folder.file("two.gpkg")); }, {"roads", "lines or polygons"});
}

}  // namespace
}  // namespace eaveshed
