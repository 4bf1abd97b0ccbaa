#include "eaveshed/siting/own_cells.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "random_site.hpp"

namespace eaveshed::testing {
namespace {

constexpr std::uint64_t kOwnWorlds = 60;

TEST(OwnCells, TellsOfEveryOpenCellHowFarTheRoofAndTheUsePointAre) {
    std::size_t near = 0;
    for (std::uint64_t seed = 0; seed < kOwnWorlds; ++seed) {
        const World world = random_world(seed);
        const Site site(world);
        const PadSite at = site.pad_site();
        const OpenGround ground(at, world.rules);
        const OwnCells own(at, world.rules, ground);
        ASSERT_EQ(own.cells().size(), ground.cells().size());
        for (std::size_t i = 0; i < own.cells().size(); ++i) {
            const OwnCell& cell = own.cells()[i];
            EXPECT_EQ(cell.cell, ground.cells()[i].cell);
            const Place place = site.terrain().centre(cell.cell);
            const double distance_m = at.surroundings->distance_to_roof_m(place);
            EXPECT_EQ(cell.near_roof, distance_m <= world.rules.max_fill_m) << "world " << seed;
            if (cell.near_roof && distance_m > 0.0) {
                EXPECT_LE(cell.fill_m, distance_m);
                EXPECT_NEAR(cell.fill_m, distance_m, 1e-8);
            }
            EXPECT_NEAR(std::sqrt(cell.use_squared_m2),
                        std::hypot(place.metres.x - at.use_metres.x, place.metres.y - at.use_metres.y), 1e-9);
            near += cell.near_roof ? 1 : 0;
        }
    }
    EXPECT_GT(near, 1000U);
}

// In heaps, 64 from the shortest to the longest: none is out of its order by more than a heap is wide.
TEST(OwnCells, VisitsTheCellsNearTheRoofOnceThoseWithShortPipesAboutFirst) {
    for (std::uint64_t seed = 0; seed < kOwnWorlds; ++seed) {
        const World world = random_world(seed);
        const Site site(world);
        const OpenGround ground(site.pad_site(), world.rules);
        const OwnCells own(site.pad_site(), world.rules, ground);
        std::vector<std::uint32_t> visited(own.nearest_first().begin(), own.nearest_first().end());
        std::vector<double> lengths;
        for (const std::uint32_t i : visited) {
            const OwnCell& cell = own.cells()[i];
            lengths.push_back(world.rules.fill_weight * cell.fill_m +
                              world.rules.pipe_slack * std::sqrt(cell.use_squared_m2));
        }
        if (!lengths.empty()) {
            const auto [shortest, longest] = std::ranges::minmax(lengths);
            double so_far = lengths.front();
            for (const double length : lengths) {
                EXPECT_GE(length, so_far - 1.001 * (longest - shortest) / 64.0) << "world " << seed;
                so_far = std::max(so_far, length);
            }
        }
        std::ranges::sort(visited);
        std::vector<std::uint32_t> expected;
        for (std::uint32_t i = 0; i < own.cells().size(); ++i) {
            if (own.cells()[i].near_roof) {
                expected.push_back(i);
            }
        }
        EXPECT_EQ(visited, expected);
    }
}

// Two roofs of one parcel: to each the other is a building among others.
TEST(OwnCells, TheGroundOfAnotherRoofOfTheParcelServesAsWellAsItsOwn) {
    int compared = 0;
    for (std::uint64_t seed = 0; compared < 20; ++seed) {
        ASSERT_LT(seed, 1000U);
        World one = random_world(seed);
        if (!one.parcel) {
            continue;
        }
        one.rules.max_fill_m = 200.0;  // every cell of the parcel is near both
        const Box box = bounds(*one.parcel);
        World other = one;
        other.roof = rectangle(box.x_min + 1.0, box.y_min + 1.0, box.x_min + 5.5, box.y_min + 4.0);
        one.others.push_back({100, other.roof});
        other.others.push_back({101, one.roof});
        const Site first(one);
        const Site second(other);
        if (!(first.frame() == second.frame())) {
            continue;
        }
        ++compared;
        ASSERT_EQ(first.pad_site().surroundings->own(), second.pad_site().surroundings->own());
        const auto ground = std::make_shared<const OpenGround>(first.pad_site(), one.rules);
        const auto own = second.search().best(other.tanks, 5);
        const auto shared = PadSearch(second.pad_site(), other.rules, ground).best(other.tanks, 5);
        ASSERT_EQ(own.size(), shared.size()) << "world " << seed;
        for (std::size_t i = 0; i < own.size(); ++i) {
            EXPECT_EQ(own[i].cell, shared[i].cell);
            EXPECT_EQ(own[i].pad_elev_m, shared[i].pad_elev_m);
            EXPECT_EQ(own[i].fill_distance_m, shared[i].fill_distance_m);
        }
    }
}

}  // namespace
}  // namespace eaveshed::testing
