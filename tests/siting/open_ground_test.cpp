#include "eaveshed/siting/open_ground.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>

#include "random_site.hpp"

namespace eaveshed::testing {
namespace {

constexpr std::uint64_t kOpenWorlds = 60;
constexpr std::size_t kBoundary = 0;  // the rules that measure, in their order
constexpr std::size_t kBuildings = 1;

OpenGround open_ground(const World& world, const Site& site) {
    return OpenGround(site.pad_site(), world.rules);
}

template <typename Visit>
void for_each_own(const Site& site, Visit&& visit) {
    const CellRange own = site.pad_site().surroundings->own();
    for (std::int64_t row = own.row_begin; row < own.row_end; ++row) {
        for (std::int64_t col = own.col_begin; col < own.col_end; ++col) {
            visit(Cell{row, col});
        }
    }
}

// Asked cell by cell, without runs.
TEST(OpenGround, HoldsTheCellsThatTheGroundAndTheParcelLeaveAndNoOther) {
    std::size_t seen = 0;
    for (std::uint64_t seed = 0; seed < kOpenWorlds; ++seed) {
        const World world = random_world(seed);
        const Site site(world);
        const OpenGround ground = open_ground(world, site);
        std::vector<Cell> expected;
        for_each_own(site, [&](Cell cell) {
            const auto slope = site.terrain().slope(cell);
            if (slope && *slope * 100.0 <= world.rules.limits[PadReason::slope] &&
                (!world.parcel || site.pad_site().surroundings->in_parcel(site.terrain().centre(cell)))) {
                expected.push_back(cell);
            }
        });
        std::vector<Cell> found;
        for (const OpenCell& open : ground.cells()) {
            found.push_back(open.cell);
            EXPECT_EQ(open.elev_m, site.terrain().elev_m(open.cell));
            EXPECT_EQ(open.slope, site.terrain().slope(open.cell));
        }
        EXPECT_EQ(found, expected) << "world " << seed;
        seen += found.size();
    }
    EXPECT_GT(seen, 1000U);
}

TEST(OpenGround, ItsSquaresAreThoseOfTheDistances) {
    std::map<bool, int> answers;
    for (std::uint64_t seed = 0; seed < kOpenWorlds; ++seed) {
        const World world = random_world(seed);
        const Site site(world);
        const Surroundings& around = *site.pad_site().surroundings;
        const OpenGround ground = open_ground(world, site);
        for (std::size_t i = 0; i < ground.cells().size(); ++i) {
            const Place place = site.terrain().centre(ground.cells()[i].cell);
            for (const double limit_m : {1.5, 3.3, 8.0}) {
                const double least = least_square_not_nearer(limit_m);
                EXPECT_EQ(ground.squares(kBoundary)[i] < least, around.near_boundary(place, limit_m));
                EXPECT_EQ(ground.squares(kBuildings)[i] < least, around.near_buildings(place, limit_m));
                ++answers[around.near_buildings(place, limit_m)];
            }
        }
    }
    EXPECT_GT(answers[false], 1000);
    EXPECT_GT(answers[true], 1000);
}

TEST(OpenGround, ItsRunsCountItsCellsInOrder) {
    for (std::uint64_t seed = 0; seed < kOpenWorlds; ++seed) {
        const World world = random_world(seed);
        const Site site(world);
        const OpenGround ground = open_ground(world, site);
        std::size_t next = 0;
        for (const OpenGround::Run& run : ground.runs()) {
            EXPECT_EQ(run.first, next);
            ASSERT_LT(run.first, run.end);
            EXPECT_EQ(ground.cells()[run.first].cell, (Cell{run.row, run.cols.begin}));
            EXPECT_EQ(ground.cells()[run.end - 1].cell, (Cell{run.row, run.cols.end - 1}));
            next = run.end;
        }
        EXPECT_EQ(next, ground.cells().size());
    }
}

// It may only say no where no place in the cell would do.
TEST(OpenGround, ForbidsACellOnlyWhereEveryPlaceInItIsForbidden) {
    std::map<bool, int> answers;
    for (std::uint64_t seed = 0; seed < kOpenWorlds; ++seed) {
        World world = random_world(seed);
        const Site site(world);
        const Surroundings& around = *site.pad_site().surroundings;
        const OpenGround ground = open_ground(world, site);
        RandomNumbers random(seed);
        const double radius_m = 0.5 * world.tanks.diameter_m + world.rules.pad_margin_m;
        const auto clearance = tank_clearance(radius_m, site.terrain().sides(), world.rules);
        for_each_own(site, [&](Cell cell) {
            const bool may = ground.may_hold(cell, clearance);
            ++answers[may];
            const auto slope = site.terrain().slope(cell);
            if (may || !slope || *slope * 100.0 > world.rules.limits[PadReason::slope]) {
                return;
            }
            for (int i = 0; i < 4; ++i) {
                const Place place =
                    site.terrain().place_beside(cell, random.between(-0.5, 0.5) * site.terrain().sides().width_m,
                                                random.between(-0.5, 0.5) * site.terrain().sides().height_m);
                EXPECT_TRUE((world.parcel && !around.in_parcel(place)) ||
                            around.near_boundary(place, world.rules.limits[PadReason::boundary_setback] + radius_m) ||
                            around.near_buildings(place, world.rules.limits[PadReason::building_setback] + radius_m))
                    << "world " << seed << ", cell " << cell.row << ' ' << cell.col;
            }
        });
    }
    EXPECT_GT(answers[false], 1000);
    EXPECT_GT(answers[true], 1000);
}

}  // namespace
}  // namespace eaveshed::testing
