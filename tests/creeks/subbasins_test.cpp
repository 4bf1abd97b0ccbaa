// The parts of a basin: polygons and catchments.
#include "eaveshed/creeks/subbasins.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "eaveshed/flow/fill.hpp"
#include "eaveshed/shape/measure.hpp"
#include "support/memory_features.hpp"
#include "support/plane_crs.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

using ::testing::HasSubstr;
using testing::MemoryFeatures;
using testing::MemoryRow;
using testing::RandomNumbers;
using testing::Wkb;

class SubbasinsFromMemory : public ::testing::Test {
protected:
    SubbasinsFromMemory() {
        RasterInfo terrain;
        terrain.where = "terrain";
        terrain.crs = testing::plane();
        terrain.grid = {0.0, 1000.0, 1.0, 1.0, 1000, 1000};
        m_inputs.rasters["terrain.elevation"] = terrain;
        m_project.resolved.subbasins.id = "id";
    }
    void give(std::vector<MemoryRow> rows, const Crs& crs = testing::plane()) {
        auto source = std::make_shared<MemoryFeatures>("basins", crs, std::vector<std::string>{"id"}, std::move(rows));
        m_inputs.layers["subbasins.source"] = {{source->info(), source, 0}};
    }
    [[nodiscard]] Subbasins made() { return {m_project, m_inputs, m_creeks, m_findings}; }

    Project m_project;
    Inputs m_inputs;
    Creeks m_creeks;
    Findings m_findings;
};

TEST_F(SubbasinsFromMemory, AreTheFirstOfThePolygonsAroundAPlace) {
    give({{Wkb::square({0, 0}, 100.0), {"West"}},
          {Wkb::square({50, 0}, 100.0), {"East"}},
          {Wkb::square({0, 0}, 1000.0), {std::nullopt}}});
    const Subbasins basins = made();
    ASSERT_EQ(basins.size(), 3U);
    EXPECT_EQ(basins.id(0), "West");
    EXPECT_EQ(basins.id(2), "3");  // the feature's own number
    EXPECT_EQ(basins.at({20, 20}), 0U);
    EXPECT_EQ(basins.at({70, 20}), 0U);
    EXPECT_EQ(basins.at({120, 20}), 1U);
    EXPECT_EQ(basins.at({500, 500}), 2U);
    EXPECT_EQ(basins.at({1500, 500}), std::nullopt);
    const SubbasinOutlines areas = basins.outlines();
    ASSERT_EQ(areas.outlines.size(), 3U);
    EXPECT_EQ(planar_area(areas.outlines[1]), 10000.0);
    EXPECT_TRUE(m_findings.list().empty());
}

TEST_F(SubbasinsFromMemory, WithoutAPolygonAreToldAndLeftOut) {
    give({{Wkb::point({5, 5}), {"Dot"}}, {{}, {"None"}}, {Wkb::square({0, 0}, 100.0), {"West"}}});
    const Subbasins basins = made();
    ASSERT_EQ(basins.size(), 1U);
    EXPECT_EQ(basins.id(0), "West");
    EXPECT_EQ(basins.at({20, 20}), 0U);
    ASSERT_EQ(m_findings.count(Severity::warning), 1U);
    EXPECT_THAT(to_text(m_findings.list().front().trouble),
                HasSubstr("2 features without a usable polygon: Dot, None"));
}

TEST_F(SubbasinsFromMemory, HaveEachAnIdOfItsOwn) {
    give({{Wkb::square({0, 0}, 100.0), {"A"}},
          {Wkb::square({200, 0}, 100.0), {"3"}},
          {Wkb::square({400, 0}, 100.0), {std::nullopt}},  // whose own number is 3
          {Wkb::square({600, 0}, 100.0), {"A"}}});
    const Subbasins basins = made();
    ASSERT_EQ(basins.size(), 4U);
    EXPECT_EQ(basins.id(0), "A");
    EXPECT_EQ(basins.id(1), "3");
    EXPECT_EQ(basins.id(2), "3/2");
    EXPECT_EQ(basins.id(3), "A/2");
    EXPECT_EQ(basins.at({620, 20}), 3U);
    ASSERT_EQ(m_findings.count(Severity::warning), 1U);
    EXPECT_THAT(to_text(m_findings.list().front().trouble),
                HasSubstr("2 polygons with an id that stood before: 3/2, A/2"));
}

TEST_F(SubbasinsFromMemory, OfAnotherSystemAreAskedInTheTerrains) {
    const Crs shifted = testing::plane("shifted", {400.0, 300.0});
    give({{Wkb::square({0, 0}, 100.0), {"West"}}}, shifted);
    const Subbasins basins = made();
    EXPECT_EQ(basins.at({420, 320}), 0U);
    EXPECT_EQ(basins.at({20, 20}), std::nullopt);
    EXPECT_TRUE(basins.outlines().crs.same_as(shifted));
    EXPECT_EQ(bounds(basins.outlines().outlines[0]).x_min, 0.0);
}

TEST_F(SubbasinsFromMemory, AreNoneWithoutALayerAndWays) {
    const Subbasins basins = made();
    EXPECT_EQ(basins.size(), 0U);
    EXPECT_EQ(basins.at({20, 20}), std::nullopt);
    EXPECT_TRUE(basins.outlines().outlines.empty());
    const Subbasins nothing;
    EXPECT_EQ(nothing.size(), 0U);
    EXPECT_EQ(nothing.at({20, 20}), std::nullopt);
    EXPECT_TRUE(nothing.outlines().outlines.empty());
    give({});
    EXPECT_EQ(made().size(), 0U);
    EXPECT_EQ(made().at({20, 20}), std::nullopt);
}

// Streams over random ground with pits and gaps, in cells of 4 m x 5 m.
class Drained {
public:
    explicit Drained(RandomNumbers& random) {
        const int rows = random.whole(2, 25);
        const int cols = random.whole(2, 25);
        Surface<float> surface{{100.0, 900.0, 4.0, 5.0, rows, cols}, {}};
        for (int i = 0; i < rows * cols; ++i) {
            surface.elev_m.push_back(random.chance(0.03) ? std::numeric_limits<float>::quiet_NaN()
                                                         : static_cast<float>(random.whole(0, 20)));
        }
        fill_depressions(surface);
        FlowDirections directions = flow_directions(surface, sides_in_plane(surface.grid, 1.0));
        std::vector<CreekReach> reaches;
        std::vector<Line> lines;
        for (int i = random.whole(1, 6); i > 0; --i) {
            Line line;
            for (int k = random.whole(2, 4); k > 0; --k) {
                line.push_back({random.between(90.0, 100.0 + 4.0 * cols + 10.0),
                                random.between(900.0 - 5.0 * rows - 10.0, 910.0)});
            }
            reaches.push_back({.id = "R" + std::to_string(i), .name = "", .line = line});
            lines.push_back(std::move(line));
        }
        ReachTree tree(std::vector<std::uint32_t>(lines.size(), kNoReach));
        std::vector<ChannelCell> channel = channel_of(lines, tree, directions.grid);
        auto ways = std::make_shared<WaysToStream>(std::move(directions), std::move(channel));
        const Box extent = surface.grid.extent();
        creeks = Creeks(std::move(reaches), std::move(tree), {}, extent, std::move(ways));
    }
    Creeks creeks;
};

TEST_F(SubbasinsFromMemory, WithoutALayerAreTheCatchmentsOfTheReaches) {
    RandomNumbers random(51);
    int drained = 0;
    for (int i = 0; i < 150 && !::testing::Test::HasFailure(); ++i) {
        m_creeks = std::move(Drained(random).creeks);
        const Subbasins basins = made();
        ASSERT_EQ(basins.size(), m_creeks.reaches().size());
        EXPECT_EQ(basins.id(0), m_creeks.reaches()[0].id);
        const SubbasinOutlines areas = basins.outlines();
        ASSERT_EQ(areas.outlines.size(), basins.size());
        EXPECT_TRUE(areas.crs.same_as(testing::plane()));
        const Grid& grid = m_creeks.ways()->grid();
        std::vector<double> cells_m2(basins.size(), 0.0);
        for (std::int64_t row = 0; row < grid.rows; ++row) {
            for (std::int64_t col = 0; col < grid.cols; ++col) {
                const Point centre = grid.centre({row, col});
                const auto at = basins.at(centre);
                for (std::uint32_t k = 0; k < basins.size(); ++k) {
                    EXPECT_EQ(contains(areas.outlines[k], centre), at == k);
                }
                if (at) {
                    cells_m2[*at] += 4.0 * 5.0;
                    ++drained;
                }
            }
        }
        for (std::size_t k = 0; k < basins.size(); ++k) {
            EXPECT_NEAR(planar_area(areas.outlines[k]), cells_m2[k], 1e-6);
        }
    }
    EXPECT_GT(drained, 10000);
}

TEST_F(SubbasinsFromMemory, OfALayerWinOverCatchments) {
    RandomNumbers random(52);
    m_creeks = std::move(Drained(random).creeks);
    give({{Wkb::square({0, 0}, 1000.0), {"All"}}});
    const Subbasins basins = made();
    EXPECT_EQ(basins.size(), 1U);
    EXPECT_EQ(basins.at({104, 896}), 0U);
}

TEST_F(SubbasinsFromMemory, MovedAwayAreTheSame) {
    give({{Wkb::square({0, 0}, 100.0), {"West"}}});
    Subbasins basins = made();
    const Subbasins moved = std::move(basins);
    EXPECT_EQ(moved.at({20, 20}), 0U);
    EXPECT_EQ(moved.id(0), "West");
}

}  // namespace
}  // namespace eaveshed
