// method.md 7.14: filling.
#include "eaveshed/flow/fill.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <limits>

#include "eaveshed/core/error.hpp"
#include "flow/ground.hpp"

namespace eaveshed {
namespace {

using testing::ground;
using testing::is_outlet;
using testing::kGap;
using testing::RandomNumbers;

// Heights of two surfaces are equal, gaps where there are gaps.
template <typename Number>
void expect_same(const Surface<Number>& found, const Surface<Number>& wanted) {
    ASSERT_EQ(found.elev_m.size(), wanted.elev_m.size());
    for (std::size_t i = 0; i < found.elev_m.size(); ++i) {
        if (std::isnan(wanted.elev_m[i])) {
            EXPECT_TRUE(std::isnan(found.elev_m[i])) << i;
        } else {
            EXPECT_EQ(found.elev_m[i], wanted.elev_m[i]) << i;
        }
    }
}

// Another way to the same heights (Planchon and Darboux 2002, A fast, simple and versatile algorithm to fill the
// depressions of digital elevation models, Catena 46; from memory): everything under water, which sinks until nothing
// moves.
template <typename Number>
Surface<Number> drained(const Surface<Number>& dry) {
    Surface<Number> water = dry;
    for (std::size_t i = 0; i < water.elev_m.size(); ++i) {
        if (!std::isnan(dry.elev_m[i]) && !is_outlet(dry, i)) {
            water.elev_m[i] = std::numeric_limits<Number>::infinity();
        }
    }
    for (bool moved = true; moved;) {
        moved = false;
        for (std::size_t i = 0; i < water.elev_m.size(); ++i) {
            testing::visit_around(dry.grid, i, [&](std::size_t near, std::size_t) {
                const Number level = std::max(dry.elev_m[i], water.elev_m[near]);
                if (level < water.elev_m[i]) {
                    water.elev_m[i] = level;
                    moved = true;
                }
            });
        }
    }
    return water;
}

TEST(FillDepressions, RaisesAPitToItsLowestSill) {
    Surface<double> surface = ground({{9, 9, 9, 9, 9},  //
                                      {9, 2, 3, 8, 9},
                                      {9, 3, 1, 3, 5},
                                      {9, 9, 9, 9, 9}});
    const Filled filled = fill_depressions(surface);
    expect_same(surface, ground({{9, 9, 9, 9, 9},  //
                                 {9, 5, 5, 8, 9},
                                 {9, 5, 5, 5, 5},
                                 {9, 9, 9, 9, 9}}));
    EXPECT_EQ(filled.raised_cells, 5);
    EXPECT_EQ(filled.most_raised_m, 4.0);
}

TEST(FillDepressions, LetsAPitWithinAPitSpillIntoTheOther) {
    // 1 spills over 4 into 2, which spills over 6.
    Surface<double> surface = ground({{9, 9, 9, 9, 9, 9},  //
                                      {9, 1, 4, 2, 6, 3},
                                      {9, 9, 9, 9, 9, 9}});
    fill_depressions(surface);
    expect_same(surface, ground({{9, 9, 9, 9, 9, 9},  //
                                 {9, 6, 6, 6, 6, 3},
                                 {9, 9, 9, 9, 9, 9}}));
}

TEST(FillDepressions, SpillsAcrossACorner) {
    Surface<double> surface = ground({{9, 9, 9, 9},  //
                                      {9, 1, 9, 9},
                                      {9, 9, 4, 9},
                                      {9, 9, 9, 2}});
    fill_depressions(surface);
    EXPECT_EQ(surface.elev_m[5], 4.0);
}

TEST(FillDepressions, TakesAGapForAnOutlet) {
    Surface<double> surface = ground({{9, 9, 9, 9, 9},  //
                                      {9, 1, 9, 9, 9},
                                      {9, 9, 3, 9, 9},
                                      {9, 9, 9, kGap, 9},
                                      {9, 9, 9, 9, 9}});
    fill_depressions(surface);
    EXPECT_EQ(surface.elev_m[6], 3.0);
    EXPECT_EQ(surface.elev_m[12], 3.0);
    EXPECT_TRUE(std::isnan(surface.elev_m[18]));
}

TEST(FillDepressions, TakesInfinityForAGap) {
    constexpr double kInfinite = std::numeric_limits<double>::infinity();
    Surface<double> surface = ground({{9, 9, 9, 9}, {9, 1, -kInfinite, 9}, {9, 9, kInfinite, 9}, {9, 9, 9, 9}});
    EXPECT_EQ(fill_depressions(surface).raised_cells, 0);
    EXPECT_TRUE(std::isnan(surface.elev_m[6]));
    EXPECT_TRUE(std::isnan(surface.elev_m[10]));
}

TEST(FillDepressions, GoesBelowZeroAndAcrossIt) {
    Surface<float> surface = ground<float>({{5, 5, 5, 5, 5},  //
                                            {5, -7, -3, -4, 5},
                                            {5, -2, 5, -0.0, 0.0},
                                            {5, 5, 5, 5, 5}});
    fill_depressions(surface);
    expect_same(surface, ground<float>({{5, 5, 5, 5, 5},  //
                                        {5, 0, 0, 0, 5},
                                        {5, 0, 5, 0, 0},
                                        {5, 5, 5, 5, 5}}));
}

template <typename Number>
void expect_as_drained(std::uint64_t seed, int heights) {
    RandomNumbers random(seed);
    for (int i = 0; i < 400; ++i) {
        const Surface<Number> before = testing::random_ground<Number>(random, heights, i % 3 == 0 ? 0.05 : 0.0);
        Surface<Number> surface = before;
        const Filled filled = fill_depressions(surface);
        expect_same(surface, drained(before));
        std::int64_t raised = 0;
        for (std::size_t cell = 0; cell < surface.elev_m.size(); ++cell) {
            EXPECT_FALSE(surface.elev_m[cell] < before.elev_m[cell]);
            raised += surface.elev_m[cell] > before.elev_m[cell] ? 1 : 0;
        }
        EXPECT_EQ(filled.raised_cells, raised);
        const Surface<Number> once = surface;
        EXPECT_EQ(fill_depressions(surface).raised_cells, 0);
        expect_same(surface, once);
        if (::testing::Test::HasFailure()) {
            return;
        }
    }
}

TEST(FillDepressions, IsWhereWaterOverEverythingComesToRest) {
    expect_as_drained<float>(1, 4);
    expect_as_drained<float>(2, 40);
    expect_as_drained<double>(3, 10);
    expect_as_drained<double>(4, 1000);
}

TEST(FillDepressions, IsThatOnLargerGroundFarBelowAndAboveZero) {
    RandomNumbers random(11);
    for (int i = 0; i < 4; ++i) {
        Surface<float> surface{testing::plain_grid(50, 70), {}};
        for (int cell = 0; cell < 50 * 70; ++cell) {
            surface.elev_m.push_back(static_cast<float>(random.between(-500.0, 3000.0)));
        }
        const Surface<float> wanted = drained(surface);
        EXPECT_GT(fill_depressions(surface).raised_cells, 500);
        expect_same(surface, wanted);
    }
}

TEST(FillDepressions, NeedsElevationsThatFitTheGrid) {
    Surface<double> surface{testing::plain_grid(3, 3), std::pmr::vector<double>(8, 1.0)};
    EXPECT_THROW(fill_depressions(surface), Error);
}

}  // namespace
}  // namespace eaveshed
