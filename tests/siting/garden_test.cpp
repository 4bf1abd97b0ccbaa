#include "eaveshed/siting/garden.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "siting/random_site.hpp"

namespace eaveshed {
namespace {

using testing::rectangle;
using testing::Site;
using testing::World;

// 40 x 40 m of ground that rises to the north, a house in the middle, a neighbour in the corner.
World sloping_world() {
    World world;
    world.grid.rows = 40;
    world.grid.cols = 40;
    for (std::int64_t row = 0; row < 40; ++row) {
        for (std::int64_t col = 0; col < 40; ++col) {
            world.elev_m.push_back(100.0 - 0.05 * static_cast<double>(row));
        }
    }
    world.roof = rectangle(5015.0, 8975.0, 5025.0, 8985.0);
    world.others.push_back({1, rectangle(5000.0, 8990.0, 5008.0, 9000.0)});
    world.rules = testing::shipped_rules();
    world.parcel = rectangle(5002.0, 8962.0, 5038.0, 8998.0);
    return world;
}

std::vector<GardenCell> garden_of(const World& world, const GardenRules& rules) {
    const Site site(world);
    return garden_cells(site.terrain(), *site.pad_site().surroundings, rules);
}

TEST(GardenCells, LieOnTheLatticeInTheParcelWithinReachAndOnNoRoof) {
    const World world = sloping_world();
    const GardenRules rules{.max_feed_m = 9.0, .max_slope_pct = 20.0, .step_cells = 3};
    const auto garden = garden_of(world, rules);
    std::size_t expected = 0;
    for (std::int64_t row = 0; row < 40; row += 3) {
        for (std::int64_t col = 0; col < 40; col += 3) {
            const Point centre = world.grid.centre({row, col});
            const bool in_parcel = centre.x > 5002.0 && centre.x < 5038.0 && centre.y > 8962.0 && centre.y < 8998.0;
            const double dx = std::max({5015.0 - centre.x, 0.0, centre.x - 5025.0});
            const double dy = std::max({8975.0 - centre.y, 0.0, centre.y - 8985.0});
            const double distance = std::hypot(dx, dy);
            const bool built = distance == 0.0 || (centre.x < 5008.0 && centre.y > 8990.0);
            const bool is_one = in_parcel && !built && distance <= 9.0;
            expected += is_one ? 1 : 0;
            EXPECT_EQ(std::ranges::any_of(garden,
                                          [&](const GardenCell& cell) {
                                              return cell.cell == Cell{row, col};
                                          }),
                      is_one)
                << row << ' ' << col;
        }
    }
    EXPECT_GT(expected, 20U);
    EXPECT_EQ(garden.size(), expected);
    EXPECT_TRUE(std::ranges::is_sorted(garden, {}, &GardenCell::cell));
}

TEST(GardenCells, LeaveOutWhatIsTooSteepAndWhatHasNoElevation) {
    World world = sloping_world();
    EXPECT_TRUE(garden_of(world, {.max_feed_m = 60.0, .max_slope_pct = 4.9, .step_cells = 1}).empty());  // 5 % all over
    const std::size_t whole = garden_of(world, {.max_feed_m = 60.0, .max_slope_pct = 5.1, .step_cells = 1}).size();
    world.elev_m[30 * 40 + 20] = std::numeric_limits<double>::quiet_NaN();
    const std::size_t holed = garden_of(world, {.max_feed_m = 60.0, .max_slope_pct = 5.1, .step_cells = 1}).size();
    EXPECT_EQ(whole - holed, 9U) << "the cell and the eight whose slope needs it";
}

TEST(GardenStep, IsWholeCellsAtLeastOne) {
    EXPECT_EQ(garden_step_cells(3.0, 1.0), 3);
    EXPECT_EQ(garden_step_cells(3.0, 0.1), 30) << "a quotient a hair below a whole number is that number";
    EXPECT_EQ(garden_step_cells(3.0, 2.0), 1);
    EXPECT_EQ(garden_step_cells(3.0, 30.0), 1);
}

TEST(AssumedUseCell, IsTheNearestOfThoseAtTheWantedElevation) {
    const World world = sloping_world();
    const Site site(world);
    const GardenRules rules{.max_feed_m = 60.0, .max_slope_pct = 20.0, .step_cells = 3};
    const auto garden = garden_cells(site.terrain(), *site.pad_site().surroundings, rules);
    std::vector<double> elevations;
    for (const GardenCell& cell : garden) {
        elevations.push_back(cell.elev_m);
    }
    std::ranges::sort(elevations);
    const Point interior = site.frame().to_metres(Point{5020.0, 8980.0});
    const auto cell = assumed_use_cell(garden, site.terrain(), interior, 0.5);
    ASSERT_TRUE(cell);
    // Nearest rank of one half: element ceil(n / 2).
    EXPECT_EQ(cell->elev_m, elevations[(elevations.size() + 1) / 2 - 1]);
    const auto distance = [&](Cell which) {
        const Point centre = site.terrain().centre(which).metres;
        return std::hypot(centre.x - interior.x, centre.y - interior.y);
    };
    for (const GardenCell& other : garden) {
        if (other.elev_m == cell->elev_m) {
            EXPECT_GE(distance(other.cell), distance(cell->cell));
        }
    }
    EXPECT_FALSE(assumed_use_cell({}, site.terrain(), interior, 0.5));
}

TEST(AssumedUseCell, OfEquallyNearOnesIsTheFirstByRowThenColumn) {
    World world = sloping_world();
    std::ranges::fill(world.elev_m, 100.0);
    const Site site(world);
    const std::vector<GardenCell> garden{{{10, 18}, 100.0}, {{10, 20}, 100.0}, {{12, 18}, 100.0}};
    const Point between = site.terrain().centre({11, 19}).metres;
    EXPECT_EQ(assumed_use_cell(garden, site.terrain(), between, 0.5)->cell, (Cell{10, 18}));
}

}  // namespace
}  // namespace eaveshed
