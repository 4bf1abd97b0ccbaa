// method.md 7.15: which reach an offer comes to.
#include "eaveshed/creeks/creeks.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "eaveshed/flow/fill.hpp"
#include "eaveshed/shape/measure.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

using testing::RandomNumbers;

const TerrainMetric kMetres{};
const TerrainMetric kDegrees{.geographic = true, .ellipsoid = {}};

std::vector<CreekReach> reaches_of(const std::vector<Line>& lines) {
    std::vector<CreekReach> reaches;
    for (const Line& line : lines) {
        reaches.push_back({.id = std::to_string(reaches.size() + 1), .name = "", .line = line});
    }
    return reaches;
}

Box around(const std::vector<Line>& lines) {
    Box box;
    for (const Line& line : lines) {
        box.add(bounds(line));
    }
    return box;
}

// Reaches that do not flow into each other.
Creeks creeks_of(const std::vector<Line>& lines, const TerrainMetric& metric = kMetres,
                 std::shared_ptr<const WaysToStream> ways = nullptr) {
    return {reaches_of(lines), ReachTree(std::vector<std::uint32_t>(lines.size(), kNoReach)), metric, around(lines),
            std::move(ways)};
}

TEST(Creeks, WithoutReachesKnowNoWay) {
    const Creeks none;
    EXPECT_TRUE(none.empty());
    EXPECT_EQ(none.ways(), nullptr);
    EXPECT_EQ(none.bytes(), 0U);
    EXPECT_FALSE(none.nearest({0.0, 0.0}));
    EXPECT_FALSE(none.entry_of(Point{0.0, 0.0}, std::nullopt));
    EXPECT_FALSE(none.entry_of(std::nullopt, Point{0.0, 0.0}));
}

TEST(Creeks, InAPlaneMeasureInItsUnit) {
    constexpr double kFootM = 0.3048;
    const std::vector<Line> lines{{{0.0, 100.0}, {100.0, 100.0}}, {{0.0, -50.0}, {100.0, -50.0}}};
    const Creeks in_metres = creeks_of(lines);
    EXPECT_EQ(in_metres.nearest({40.0, 0.0}), (NearReach{1, 50.0}));
    EXPECT_EQ(in_metres.nearest({40.0, 30.0}), (NearReach{0, 70.0}));
    const Creeks in_feet = creeks_of(lines, {.metres_per_unit = kFootM, .ellipsoid = {}});
    EXPECT_EQ(in_feet.nearest({40.0, 0.0})->reach, 1U);
    EXPECT_NEAR(in_feet.nearest({40.0, 0.0})->distance_m, 50.0 * kFootM, 1e-9);
}

// All lines in the metres of the place itself.
NearReach nearest_of_all(const std::vector<Line>& lines, Point place) {
    const LocalFrame frame = kDegrees.frame_at(place);
    NearReach best{kNoReach, std::numeric_limits<double>::infinity()};
    for (std::uint32_t i = 0; i < lines.size(); ++i) {
        const double distance_m = distance_to_line(frame.to_metres(lines[i]), frame.to_metres(place));
        if (distance_m < best.distance_m) {
            best = {i, distance_m};
        }
    }
    return best;
}

std::vector<Line> random_lines(RandomNumbers& random, const Box& box, double step_deg) {
    std::vector<Line> lines(static_cast<std::size_t>(random.whole(1, 40)));
    for (Line& line : lines) {
        Point at{random.between(box.x_min, box.x_max), random.between(box.y_min, box.y_max)};
        for (int k = random.whole(2, 30); k > 0; --k) {
            line.push_back(at);
            at = {at.x + random.between(-step_deg, step_deg), at.y + random.between(-step_deg, step_deg)};
        }
    }
    return lines;
}

void expect_nearest_of_all(RandomNumbers& random, const Box& box, double step_deg) {
    const std::vector<Line> lines = random_lines(random, box, step_deg);
    const Creeks creeks = creeks_of(lines, kDegrees);
    for (int k = 0; k < 30; ++k) {
        const Point place{random.between(box.x_min, box.x_max), random.between(box.y_min, box.y_max)};
        const NearReach expected = nearest_of_all(lines, place);
        const auto found = creeks.nearest(place);
        ASSERT_TRUE(found);
        EXPECT_EQ(found->reach, expected.reach);
        EXPECT_NEAR(found->distance_m, expected.distance_m, 1e-6 + 1e-12 * expected.distance_m);
    }
}

TEST(Creeks, InDegreesMeasureInThePlacesOwnMetres) {
    RandomNumbers random(41);
    for (int i = 0; i < 150 && !::testing::Test::HasFailure(); ++i) {
        const double south = random.between(40.0, 59.5) * (i % 2 == 0 ? 1.0 : -1.0);
        const double wide_deg = 0.45 / std::cos(south * M_PI / 180.0);  // 50 km
        expect_nearest_of_all(random, {-120.0, south, -120.0 + wide_deg, south + 0.45}, 0.003);
    }
}

// An elevation raster may hold a whole country, of which the basin is a corner.
TEST(Creeks, InDegreesMeasureSoFarFromTheMiddleToo) {
    RandomNumbers random(42);
    for (int i = 0; i < 100 && !::testing::Test::HasFailure(); ++i) {
        expect_nearest_of_all(random, {-10.0, 30.0, 10.0, 70.0}, 2.0);
    }
}

// Two lines in one place.
TEST(Creeks, OfReachesAsNearTakeTheFirst) {
    const Line line{{-120.0, 45.0}, {-120.0, 45.1}};
    const Creeks creeks = creeks_of({{{-121.0, 45.0}, {-121.0, 45.1}}, line, line}, kDegrees);
    EXPECT_EQ(creeks.nearest({-120.01, 45.05})->reach, 1U);
}

// A strip of ground of one column a height, each cell 10 m, three rows the same but for a slight fall to the south.
std::shared_ptr<const WaysToStream> ways_over(const std::vector<double>& heights_m, const std::vector<Line>& lines) {
    constexpr double kCellM = 10.0;
    Surface<float> surface{{0.0, 3.0 * kCellM, kCellM, kCellM, 3, static_cast<std::int64_t>(heights_m.size())}, {}};
    for (int row = 0; row < 3; ++row) {
        for (const double height_m : heights_m) {
            surface.elev_m.push_back(static_cast<float>(height_m - 0.01 * row));
        }
    }
    fill_depressions(surface);
    FlowDirections directions = flow_directions(surface, sides_in_plane(surface.grid, 1.0));
    std::vector<ChannelCell> channel =
        channel_of(lines, ReachTree(std::vector<std::uint32_t>(lines.size(), kNoReach)), directions.grid);
    return std::make_shared<WaysToStream>(std::move(directions), std::move(channel));
}

// A ridge in the third column: what stands behind it is nearer to the western reach and drains to the eastern one.
class BehindARidge : public ::testing::Test {
protected:
    const std::vector<Line> m_lines{{{5.0, 30.0}, {5.0, 0.0}}, {{85.0, 30.0}, {85.0, 0.0}}};
    const Creeks m_creeks = creeks_of(m_lines, kMetres, ways_over({5, 15, 30, 28, 26, 24, 22, 20, 4}, m_lines));
    const Point m_roof{35.0, 15.0};
};

TEST_F(BehindARidge, AnOfferEntersWhereItsWaterRuns) {
    EXPECT_EQ(m_creeks.nearest(m_roof), (NearReach{0, 30.0}));
    const auto entry = m_creeks.entry_of(m_roof, std::nullopt);
    ASSERT_TRUE(entry);
    EXPECT_EQ(entry->reach, 1U);
    EXPECT_EQ(entry->way, EntryWay::flow);
    EXPECT_EQ(entry->distance_m, 50.0);
    EXPECT_EQ(m_creeks.entry_of(Point{15.0, 15.0}, std::nullopt)->reach, 0U);
    EXPECT_EQ(m_creeks.bytes(), 2U * kBytesAReach + 4U * kBytesAPoint);
}

TEST_F(BehindARidge, ADiversionWinsOverTheWayOfTheWater) {
    const auto entry = m_creeks.entry_of(m_roof, Point{20.0, 15.0});
    ASSERT_TRUE(entry);
    EXPECT_EQ(entry->reach, 0U);
    EXPECT_EQ(entry->way, EntryWay::diversion);
    EXPECT_EQ(entry->distance_m, 15.0);
    EXPECT_EQ(m_creeks.entry_of(std::nullopt, Point{80.0, 15.0})->reach, 1U);  // without a place, too
}

TEST_F(BehindARidge, WithoutAWayTheNearestReachIsTaken) {
    const auto off_the_ground = m_creeks.entry_of(Point{35.0, -20.0}, std::nullopt);
    ASSERT_TRUE(off_the_ground);
    EXPECT_EQ(off_the_ground->reach, 0U);
    EXPECT_EQ(off_the_ground->way, EntryWay::nearest);
    EXPECT_NEAR(off_the_ground->distance_m, std::hypot(30.0, 20.0), 1e-9);
    const Creeks without_ways = creeks_of(m_lines);
    EXPECT_EQ(without_ways.entry_of(m_roof, std::nullopt)->reach, 0U);
    EXPECT_EQ(without_ways.entry_of(m_roof, std::nullopt)->way, EntryWay::nearest);
    EXPECT_FALSE(without_ways.entry_of(std::nullopt, std::nullopt));
}

TEST(Creeks, TakeTheNearestReachWhereTheWaterLeavesTheGround) {
    // All water runs off to the east, away from the one reach.
    const std::vector<Line> lines{{{5.0, 30.0}, {5.0, 0.0}}};
    const Creeks creeks = creeks_of(lines, kMetres, ways_over({50, 40, 30, 20, 10}, lines));
    const auto entry = creeks.entry_of(Point{25.0, 15.0}, std::nullopt);
    ASSERT_TRUE(entry);
    EXPECT_EQ(entry->way, EntryWay::nearest);
    EXPECT_EQ(entry->distance_m, 20.0);
}

TEST(Creeks, MovedAwayAreTheSame) {
    const std::vector<Line> lines{{{5.0, 30.0}, {5.0, 0.0}}};
    Creeks creeks = creeks_of(lines, kMetres, ways_over({50, 60}, lines));
    const Creeks moved = std::move(creeks);
    EXPECT_EQ(moved.entry_of(Point{15.0, 15.0}, std::nullopt)->way, EntryWay::flow);
    EXPECT_EQ(moved.nearest({15.0, 15.0}), (NearReach{0, 10.0}));
}

}  // namespace
}  // namespace eaveshed
