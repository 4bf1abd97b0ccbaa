// Pads end to end: streams and exclusions from files in any CRS, and that nothing depends on how the work is cut.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/run/check.hpp"
#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using testing::by_roof;
using testing::bytes_of;
using ::testing::HasSubstr;
using ::testing::Not;
using testing::number;
using testing::OutputFile;
using testing::OutputRow;
using testing::TempFolder;
using testing::text;

using Rows = std::map<std::string, OutputRow>;

constexpr const char* kAllPads = "SELECT * FROM pads ORDER BY fid";
constexpr const char* kRoofsInOrder = "SELECT * FROM roofs ORDER BY fid";

struct Outcome {
    Rows roofs;
    Rows pads;
};

Outcome outcome_of(const SmallBasin& basin, const std::function<void(const TempFolder&)>& add_files) {
    const TempFolder folder;
    add_files(folder);
    screened(write_basin(folder, basin), folder.file("out.gpkg"));
    const OutputFile file(folder.file("out.gpkg"));
    return {by_roof(file.rows(kRoofsInOrder)), by_roof(file.rows(kAllPads))};
}

const Outcome& plain() {
    static const Outcome kOutcome = outcome_of({}, [](const TempFolder&) {});
    return kOutcome;
}

TEST(PadsRun, SayWhetherTheElevationsUnderThemAreCoarse) {
    SmallBasin basin;
    basin.terrain_settings = "coarse_cell_m = 10\n";  // its cells are 5 m wide
    const Outcome fine = outcome_of(basin, [](const TempFolder&) {});
    ASSERT_FALSE(fine.pads.empty());
    ASSERT_FALSE(plain().pads.empty());
    for (const auto& [roof, pad] : fine.pads) {
        EXPECT_EQ(number(pad, "coarse_elevation"), 0.0) << roof;
    }
    for (const auto& [roof, pad] : plain().pads) {
        EXPECT_EQ(number(pad, "coarse_elevation"), 1.0) << roof;
    }
}

// A square with this half-width around each roof's corner, as one multipolygon in the CRS.
std::string squares(double half_m, const std::string& crs) {
    const Transform transform(crs_from_text(kBasinCrs, "test"), crs_from_text(crs, "test"), "test");
    std::string text;
    for (const SmallRoof& roof : small_roofs()) {
        std::string ring;
        for (const auto& [x, y] : {std::pair{-1.0, -1.0}, {1.0, -1.0}, {1.0, 1.0}, {-1.0, 1.0}, {-1.0, -1.0}}) {
            const Point at = transform(Point{roof.corner.x + x * half_m, roof.corner.y + y * half_m}).value();
            ring += fmt::format("{}{:.12f} {:.12f}", ring.empty() ? "" : ",", at.x, at.y);
        }
        text += (text.empty() ? "((" : ",((") + ring + "))";
    }
    return "MULTIPOLYGON(" + text + ")";
}

std::function<void(const TempFolder&)> with_squares(double half_m, const std::string& crs) {
    return [=](const TempFolder& folder) {
        testing::LayerToWrite layer = layer_in("areas", crs);
        layer.type = wkbMultiPolygon;
        layer.rows = {{squares(half_m, crs)}};
        testing::write_vector("GPKG", folder.file("areas.gpkg"), {layer});
    };
}

SmallBasin with_exclusions(double setback_m) {
    SmallBasin basin;
    basin.settings =
        fmt::format("[[exclusions]]\nname = \"orchard\"\nsource = \"areas.gpkg\"\nsetback_m = {:.1f}\n", setback_m);
    return basin;
}

TEST(Pads, StandInTheLayerOfTheirNameAndAgreeWithTheirRoofs) {
    std::size_t pads = 0;
    for (const auto& [id, roof] : plain().roofs) {
        const bool has_pad = number(roof, "pad_elev_m").has_value();
        ASSERT_EQ(has_pad, plain().pads.contains(id)) << id;
        EXPECT_EQ(has_pad, text(roof, "no_pad_reason").empty()) << id;
        if (!has_pad) {
            EXPECT_EQ(text(roof, "delivery"), "no_pad");
            continue;
        }
        ++pads;
        const OutputRow& pad = plain().pads.at(id);
        for (const char* const column :
             {"pad_elev_m", "pressure_kpa", "fill_distance_m", "gravity_probability", "storage_m3"}) {
            EXPECT_EQ(number(pad, column), number(roof, column)) << id << ' ' << column;
        }
        EXPECT_EQ(text(pad, "delivery"), text(roof, "delivery"));
        EXPECT_EQ(text(pad, "gravity_check"), text(roof, "gravity_check"));
        EXPECT_EQ(text(pad, "level"), "roof");
        EXPECT_LE(number(pad, "reach_70_m2"), number(pad, "reach_10_m2"));
        EXPECT_LE(number(pad, "reach_10_m2"), number(pad, "garden_m2"));
    }
    EXPECT_GT(pads, 12U);
}

TEST(Pads, KeepOutOfExclusions) {
    const Outcome without_room = outcome_of(with_exclusions(0.0), with_squares(140.0, kBasinCrs));
    for (const auto& [id, roof] : without_room.roofs) {
        EXPECT_EQ(text(roof, "delivery"), "no_pad") << id;
    }
    EXPECT_TRUE(without_room.pads.empty());
}

TEST(Pads, KeepTheirSetbackFromExclusionsInAnyCrs) {
    const Outcome here = outcome_of(with_exclusions(4.0), with_squares(14.0, kBasinCrs));
    const Outcome degrees = outcome_of(with_exclusions(4.0), with_squares(14.0, "EPSG:4326"));
    std::size_t moved = 0;
    ASSERT_EQ(here.pads.size(), degrees.pads.size());
    for (const auto& [id, pad] : here.pads) {
        EXPECT_NEAR(*number(pad, "pad_elev_m"), *number(degrees.pads.at(id), "pad_elev_m"), 1e-6) << id;
        moved += plain().pads.contains(id) && number(plain().pads.at(id), "pad_elev_m") != number(pad, "pad_elev_m")
                     ? 1U
                     : 0U;
    }
    EXPECT_GT(moved, 6U);
}

// A long stream, which the plan keeps in pieces, through every row of roofs: what it removes is what the same line
// drawn as short ones removes.
TEST(Pads, KeepTheirSetbackFromStreamsHoweverTheyAreCut) {
    const auto with_streams = [](bool one_line) {
        return [=](const TempFolder& folder) {
            std::vector<std::string> points;
            for (int i = 0; i <= 1500; ++i) {
                points.push_back(fmt::format("{} {}", kX0 + i, kY0 + 195.0 + 310.0 * (i / 376)));
            }
            testing::LayerToWrite layer = layer_in("streams", kBasinCrs);
            layer.type = wkbLineString;
            std::string line;
            for (std::size_t i = 0; i < points.size(); ++i) {
                line += (line.empty() ? "" : ",") + points[i];
                if (!one_line && i % 100 == 99 && i + 1 < points.size()) {
                    layer.rows.push_back({"LINESTRING(" + line + "," + points[i + 1] + ")"});
                    line.clear();
                }
            }
            layer.rows.push_back({"LINESTRING(" + line + ")"});
            testing::write_vector("GPKG", folder.file("streams.gpkg"), {layer});
        };
    };
    SmallBasin basin;
    basin.settings = "[streams]\nsource = \"streams.gpkg\"\n";
    const Outcome whole = outcome_of(basin, with_streams(true));
    const Outcome cut = outcome_of(basin, with_streams(false));
    EXPECT_EQ(whole.pads, cut.pads);
    EXPECT_NE(whole.pads, plain().pads);
}

// A road beside every row of roofs: its line keeps a tank as far away as a stream of the same course and setback does.
TEST(Pads, KeepTheirSetbackFromALineAsFromAStreamAndSayWhichItWas) {
    const auto with_line = [](const TempFolder& folder) {
        testing::LayerToWrite layer = layer_in("ways", kBasinCrs);
        layer.type = wkbLineString;
        for (int row = 0; row < 4; ++row) {
            const double y = kY0 + 195.0 + 310.0 * row;
            layer.rows.push_back({fmt::format("LINESTRING({} {},{} {})", kX0, y, kX0 + kSideM, y + 3.0)});
        }
        testing::write_vector("GPKG", folder.file("ways.gpkg"), {layer});
    };
    const auto basin = [](const char* section, const char* setback) {
        SmallBasin made;
        made.settings = fmt::format("[{}]\nsource = \"ways.gpkg\"\n{}\n", section, setback);
        return made;
    };
    const Outcome road = outcome_of(basin("[exclusions]", "setback_m = 9.0"), with_line);
    const Outcome stream = outcome_of(basin("streams", "[siting]\nstream_setback_m = 9.0"), with_line);
    EXPECT_EQ(road.pads, stream.pads);
    EXPECT_NE(road.pads, plain().pads);
    const Outcome far = outcome_of(basin("[exclusions]", "setback_m = 400.0"), with_line);
    EXPECT_TRUE(far.pads.empty());
    std::size_t excluded = 0;
    for (const auto& [id, roof] : far.roofs) {
        excluded += text(roof, "no_pad_reason") == "exclusion" ? 1U : 0U;
    }
    EXPECT_GE(excluded, 12U);  // the roofs without a parcel, which leaves the others less ground to lose
}

// A point keeps a tank as far away as an area too small to be seen does; a collection counts with all its parts.
TEST(Pads, KeepTheirSetbackFromPointsAndFromAllPartsOfACollection) {
    const auto with = [](const std::function<std::string(double x, double y)>& shape) {
        return [=](const TempFolder& folder) {
            testing::LayerToWrite layer = layer_in("areas", kBasinCrs);
            layer.type = wkbUnknown;
            for (const SmallRoof& roof : small_roofs()) {
                layer.rows.push_back({shape(roof.corner.x - 6.0, roof.corner.y - 5.0)});
            }
            testing::write_vector("GPKG", folder.file("areas.gpkg"), {layer});
        };
    };
    const Outcome points =
        outcome_of(with_exclusions(7.0), with([](double x, double y) { return fmt::format("POINT({} {})", x, y); }));
    const Outcome specks =
        outcome_of(with_exclusions(7.0), with([](double x, double y) { return testing::square_wkt(x, y, 1e-5); }));
    EXPECT_EQ(points.pads, specks.pads);
    EXPECT_NE(points.pads, plain().pads);
    const Outcome both =
        outcome_of(with_exclusions(7.0), with([](double x, double y) {
                       return fmt::format("GEOMETRYCOLLECTION(POINT({} {}),POINT({} {}))", x, y, x + 15.0, y);
                   }));
    EXPECT_NE(both.pads, points.pads);
}

std::string warnings_of(const SmallBasin& basin, const std::function<void(const TempFolder&)>& add_files) {
    const TempFolder folder;
    add_files(folder);
    Findings findings;
    const Project project = load_project(write_basin(folder, basin), findings);
    static_cast<void>(check(project, findings));
    std::string told;
    for (const Finding& finding : findings.list()) {
        told += finding.severity == Severity::warning ? to_text(finding.trouble) + "\n" : "";
    }
    return told;
}

TEST(Pads, AreToldWhereALineHasNeitherWidthNorSetback) {
    const auto with_line = [](const TempFolder& folder) {
        testing::LayerToWrite layer = layer_in("areas", kBasinCrs);
        layer.type = wkbLineString;
        layer.rows = {{fmt::format("LINESTRING({} {},{} {})", kX0, kY0, kX0 + 900.0, kY0 + 900.0)}};
        testing::write_vector("GPKG", folder.file("areas.gpkg"), {layer});
    };
    EXPECT_THAT(
        warnings_of(with_exclusions(0.0), with_line),
        AllOf(HasSubstr("areas.gpkg"), HasSubstr("1 feature without a width"), HasSubstr("exclusions.setback_m")));
    EXPECT_THAT(warnings_of(with_exclusions(4.0), with_line), Not(HasSubstr("without a width")));
    EXPECT_THAT(warnings_of(with_exclusions(0.0), with_squares(14.0, kBasinCrs)), Not(HasSubstr("without a width")));
}

TEST(Pads, AreTheSameInTilesOfAnySizeOnAnyNumberOfThreads) {
    const TempFolder folder;
    with_squares(14.0, kBasinCrs)(folder);
    const std::string project = write_basin(folder, with_exclusions(4.0));
    screened(project, folder.file("one.gpkg"), {.threads = 1, .tile_side_m = 500.0});
    screened(project, folder.file("small.gpkg"), {.threads = 2, .tile_side_m = 37.0});
    screened(project, folder.file("large.gpkg"), {.threads = 2, .tile_side_m = 5000.0});
    EXPECT_EQ(bytes_of(folder.file("one.gpkg")), bytes_of(folder.file("small.gpkg")));
    EXPECT_EQ(bytes_of(folder.file("one.gpkg")), bytes_of(folder.file("large.gpkg")));
}

}  // namespace
}  // namespace eaveshed
