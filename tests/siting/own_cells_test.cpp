#include "eaveshed/siting/own_cells.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "random_site.hpp"

namespace eaveshed::testing {
namespace {

constexpr std::uint64_t kOwnWorlds = 60;

TEST(OwnCells, TellsOfEveryOpenCellNearTheRoofHowFarTheRoofAndTheUsePointAre) {
    std::size_t found = 0;
    for (std::uint64_t seed = 0; seed < kOwnWorlds; ++seed) {
        const World world = random_world(seed);
        const Site site(world);
        const PadSite at = site.pad_site();
        const OpenGround ground(at, world.rules);
        const OwnCells own(at, world.rules, ground);
        std::vector<std::uint32_t> numbers;
        for (const OwnCell& cell : own.cells()) {
            numbers.push_back(cell.number);
            EXPECT_EQ(cell.cell, ground.cells()[cell.number].cell);
            const Place place = site.terrain().centre(cell.cell);
            const double distance_m = at.surroundings->distance_to_roof_m(place);
            const double use_m = std::hypot(place.metres.x - at.use_metres.x, place.metres.y - at.use_metres.y);
            if (distance_m > 0.0) {
                EXPECT_LE(cell.fill_m, distance_m);
                EXPECT_NEAR(cell.fill_m, distance_m, 1e-8);
            }
            EXPECT_NEAR(std::sqrt(cell.use_squared_m2), use_m, 1e-9);
            const double length_m = world.rules.fill_weight * cell.fill_m + world.rules.pipe_slack * use_m;
            EXPECT_LE(cell.shortest_m, length_m);
            EXPECT_NEAR(cell.shortest_m, length_m, 1e-8);
        }
        std::vector<std::uint32_t> expected;
        for (std::uint32_t i = 0; i < ground.cells().size(); ++i) {
            const Place place = site.terrain().centre(ground.cells()[i].cell);
            if (at.surroundings->distance_to_roof_m(place) <= world.rules.max_fill_m) {
                expected.push_back(i);
            }
        }
        std::ranges::sort(numbers);
        EXPECT_EQ(numbers, expected) << "world " << seed;
        found += numbers.size();
    }
    EXPECT_GT(found, 1000U);
}

TEST(OwnCells, LeavesOutThoseOnWhichNoOptionStands) {
    std::size_t left_out = 0;
    for (std::uint64_t seed = 0; seed < kOwnWorlds; ++seed) {
        World world = random_world(seed);
        world.others.clear();
        const Site site(world);
        const PadSite at = site.pad_site();
        const OpenGround ground(at, world.rules);
        const OwnCells all(at, world.rules, ground);
        world.rules.least_core_radius_m = 2.0;
        const OwnCells own(at, world.rules, ground);
        std::size_t clear = 0;
        for (const OwnCell& cell : all.cells()) {
            const Place place = site.terrain().centre(cell.cell);
            const auto near = [&](PadReason rule, auto&& asks) { return asks(place, world.rules.limits[rule] + 2.0); };
            const Surroundings& around = *at.surroundings;
            const bool too_near =
                near(PadReason::boundary_setback, [&](auto&&... asked) { return around.near_boundary(asked...); }) ||
                near(PadReason::building_setback, [&](auto&&... asked) { return around.near_buildings(asked...); });
            clear += too_near ? 0 : 1;
        }
        EXPECT_EQ(own.cells().size(), clear) << "world " << seed;
        left_out += all.cells().size() - own.cells().size();
    }
    EXPECT_GT(left_out, 1000U);
}

TEST(OwnCells, GivesThoseWithShortPipesAboutFirst) {
    for (std::uint64_t seed = 0; seed < kOwnWorlds; ++seed) {
        const World world = random_world(seed);
        const Site site(world);
        const OpenGround ground(site.pad_site(), world.rules);
        const OwnCells own(site.pad_site(), world.rules, ground);
        if (own.cells().empty()) {
            continue;
        }
        const auto [shortest, longest] = std::ranges::minmax(own.cells(), {}, &OwnCell::shortest_m);
        EXPECT_LE(own.disorder_m(), 1.001 * (longest.shortest_m - shortest.shortest_m) / 64.0 + 1e-300);
        double so_far = own.cells().front().shortest_m;
        for (const OwnCell& cell : own.cells()) {
            EXPECT_GE(cell.shortest_m, so_far - own.disorder_m()) << "world " << seed;
            so_far = std::max(so_far, cell.shortest_m);
        }
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
