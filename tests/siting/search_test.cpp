// method.md 6.4, 6.20: eligible cells and the best of them.
#include "eaveshed/siting/search.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <set>

#include "siting/random_site.hpp"
#include "siting/search_oracle.hpp"

namespace eaveshed {
namespace {

using testing::Oracle;
using testing::OracleAnswer;
using testing::OraclePad;
using testing::random_world;
using testing::Site;
using testing::World;

constexpr std::uint64_t kWorlds = 400;

void expect_same(const Pad& pad, const OraclePad& plain) {
    EXPECT_EQ(pad.cell, plain.cell);
    EXPECT_EQ(static_cast<int>(pad.arrangement), plain.arrangement);
    EXPECT_NEAR(pad.pad_radius_m, plain.radius_m, 1e-9);
    EXPECT_NEAR(pad.row_span_m, plain.span_m, 1e-9);
    EXPECT_NEAR(pad.row_bearing_deg, plain.bearing_deg, 1e-9);
    EXPECT_EQ(pad.rank.stage, plain.stage);
    EXPECT_EQ(static_cast<int>(pad.rank.feed), plain.feed);
    EXPECT_NEAR(pad.pad_elev_m, plain.pad_elev_m, 1e-9);
    EXPECT_NEAR(pad.cut_m, plain.cut_m, 1e-9);
    EXPECT_NEAR(pad.fill_margin_m, plain.margin_m, 1e-9);
    EXPECT_NEAR(pad.fill_sd_m, plain.fill_sd_m, 1e-9);
    EXPECT_NEAR(pad.feed.static_head_m, plain.head_m, 1e-9);
    EXPECT_NEAR(pad.feed.friction_m, plain.friction_m, 1e-9);
    EXPECT_NEAR(pad.feed.pressure_kpa, plain.exact_kpa, 1e-9);
    EXPECT_NEAR(pad.feed.pressure_full_kpa, plain.full_kpa, 1e-9);
    EXPECT_NEAR(pad.feed_sd_kpa, plain.feed_sd_kpa, 1e-9);
}

// The same place, but for rounding, in degrees at 40 N.
World in_degrees(World world) {
    world.metric = {.geographic = true, .metres_per_unit = 1.0, .ellipsoid = {}};
    const LocalFrame frame = world.metric.frame_at({10.0, 40.0});
    const auto turn = [&](Point point) {
        return Point{10.0 + (point.x - 5000.0) / frame.metres_per_x, 40.0 + (point.y - 9000.0) / frame.metres_per_y};
    };
    world.grid.x_min = 10.0;
    world.grid.y_max = 40.0;
    world.grid.cell_width /= frame.metres_per_x;
    world.grid.cell_height /= frame.metres_per_y;
    world.roof = mapped(world.roof, turn);
    if (world.parcel) {
        world.parcel = mapped(*world.parcel, turn);
    }
    for (Building& other : world.others) {
        other.outline = mapped(other.outline, turn);
    }
    for (Obstacle& obstacle : world.obstacles) {
        obstacle.area = mapped(obstacle.area, turn);
        std::transform(obstacle.line.begin(), obstacle.line.end(), obstacle.line.begin(), turn);
    }
    world.use = turn(world.use);
    return world;
}

TEST(PadSearch, FindsWhatAPlainSearchOfEveryCellFinds) {
    std::array<int, 6> stages{};
    std::array<int, 3> arrangements{};
    for (std::uint64_t seed = 0; seed < kWorlds; ++seed) {
        SCOPED_TRACE(seed);
        World world = random_world(seed);
        if (seed % 8 == 0) {
            world = in_degrees(world);
        }
        const Site site(world);
        const PadSearch search = site.search();
        const OracleAnswer plain = Oracle(world, site.frame()).answer();
        EXPECT_EQ(search.cell_count(), plain.cells);
        EXPECT_EQ(search.removed(world.tanks), plain.removed);
        const auto best = search.best(world.tanks, 3);
        ASSERT_EQ(best.size(), std::min<std::size_t>(3, plain.eligible.size()));
        for (std::size_t i = 0; i < best.size(); ++i) {
            expect_same(best[i], plain.eligible[i]);
        }
        if (!best.empty()) {
            ++arrangements.at(static_cast<std::size_t>(best.front().arrangement));
        }
        ++stages.at(best.empty() ? 0 : static_cast<std::size_t>(best.front().rank.stage));
    }
    for (const int worlds : stages) {
        EXPECT_GT(worlds, 4) << "the worlds do not try every stage: " << ::testing::PrintToString(stages);
    }
    for (const int worlds : arrangements) {
        EXPECT_GT(worlds, 10) << ::testing::PrintToString(arrangements);
    }
}

// A place that someone has measured: it takes the same numbers as in a search, and only what no visit settles removes
// it.
TEST(PadSearch, AGivenCellIsTheOnlyCandidateWhateverAVisitSettles) {
    std::array<int, kPadRules + 1> met{};
    for (std::uint64_t seed = 0; seed < 2 * kWorlds; ++seed) {
        SCOPED_TRACE(seed);
        World world = random_world(seed % kWorlds);
        world.tanks.count = seed < kWorlds ? 1 : world.tanks.count;
        const Site site(world);
        PadSite one = site.pad_site();
        const CellRange& range = one.surroundings->around();
        const std::int64_t number = static_cast<std::int64_t>(seed * 7919) % (range.rows() * range.cols());
        one.given_cell = Cell{range.row_begin + number / range.cols(), range.col_begin + number % range.cols()};
        const testing::OracleVisit plain = Oracle(world, site.frame()).visit(*one.given_cell);
        const PadSearch search(one, world.rules);
        const auto best = search.best(world.tanks, 3);
        const RemovedCells removed = search.removed(world.tanks);
        EXPECT_EQ(search.eligible(world.tanks).size(), best.size());
        EXPECT_EQ(search.at(*one.given_cell, world.tanks).has_value(), !best.empty());
        EXPECT_FALSE(search.at({one.given_cell->row, one.given_cell->col + 1}, world.tanks));
        ASSERT_LE(search.cell_count(), 1U);
        ASSERT_EQ(best.size(), plain.pad ? 1U : 0U);
        if (plain.pad) {
            expect_same(best.front(), *plain.pad);
            EXPECT_EQ(removed, RemovedCells{});
            EXPECT_EQ(best.front().waived,
                      plain.rule == 10 ? std::nullopt : std::optional<PadReason>(static_cast<PadReason>(plain.rule)));
            ++met.at(static_cast<std::size_t>(plain.rule));
        } else if (search.cell_count() == 0) {
            EXPECT_EQ(removed, RemovedCells{});  // farther than max_fill_m
        } else {
            RemovedCells expected{};
            expected.at(static_cast<std::size_t>(plain.rule)) = 1;
            EXPECT_EQ(removed, expected);
            ++met.at(static_cast<std::size_t>(plain.rule));
        }
    }
    for (const PadReason rule :
         {PadReason::elevation_gap, PadReason::slope, PadReason::cut, PadReason::parcel, PadReason::boundary_setback,
          PadReason::building_setback, PadReason::exclusion, PadReason::lift}) {
        EXPECT_GT(met.at(static_cast<std::size_t>(rule)), 0) << to_text(rule);
    }
}

// The pad of one cell is that of the whole search, for every cell of a place.
TEST(PadSearch, AtOneCellSaysWhatTheSearchSaysOfIt) {
    std::size_t rows = 0;
    for (std::uint64_t seed = 0; seed < 40; ++seed) {
        SCOPED_TRACE(seed);
        const World world = random_world(seed);
        const Site site(world);
        std::map<Cell, Pad> found;
        for (const Pad& pad : site.search().eligible(world.tanks)) {
            found.emplace(pad.cell, pad);
        }
        for (std::int64_t row = 0; row < world.grid.rows; row += 2) {
            for (std::int64_t col = 0; col < world.grid.cols; ++col) {
                const auto pad = site.search().at({row, col}, world.tanks);
                const auto expected = found.find({row, col});
                ASSERT_EQ(pad.has_value(), expected != found.end());
                if (pad) {
                    EXPECT_EQ(pad->arrangement, expected->second.arrangement);
                    EXPECT_EQ(pad->pad_elev_m, expected->second.pad_elev_m);
                    EXPECT_EQ(pad->rank.length_m, expected->second.rank.length_m);
                    rows += pad->arrangement == Arrangement::row ? 1U : 0U;
                }
            }
        }
    }
    EXPECT_GT(rows, 20U);
}

TEST(PadSearch, GivesTheSameBestHoweverManyAreWanted) {
    for (std::uint64_t seed = 0; seed < 100; ++seed) {
        const World world = random_world(seed);
        const Site site(world);
        const auto all = site.all();
        const auto best = site.best();
        ASSERT_EQ(best.has_value(), !all.empty());
        if (best) {
            EXPECT_EQ(best->cell, all.front().cell);
        }
    }
}

// Elevations in 1/1024 m, so that raising them by 64 m rounds nothing.
World on_binary_heights(World world) {
    for (double& elevation : world.elev_m) {
        elevation = std::round(elevation * 1024.0) / 1024.0;
    }
    return world;
}

// Flat ground with a flat mound at the far end of the parcel: only there does the water run to the garden by itself.
World with_a_mound(int tanks) {
    World world;
    world.grid.rows = 30;
    world.grid.cols = 60;
    for (std::int64_t row = 0; row < world.grid.rows; ++row) {
        for (std::int64_t col = 0; col < world.grid.cols; ++col) {
            world.elev_m.push_back(col >= 44 ? 104.0 : 100.0);
        }
    }
    world.roof = testing::rectangle(5005.0, 8980.0, 5013.0, 8990.0);
    world.parcel = testing::rectangle(5002.0, 8972.0, 5058.0, 8998.0);
    world.rules = testing::shipped_rules();
    world.eave_elev_m = 110.0;
    world.eave_sd_m = 0.1;
    world.use = {5018.0, 8985.0};
    world.use_elev_m = 100.0;
    world.tanks = {.diameter_m = 1.2, .height_m = 1.5, .count = tanks};
    return world;
}

TEST(PadSearch, FindsTheOneHighPlaceBehindMuchGroundThatNeedsAPump) {
    for (int tanks = 1; tanks <= 6; ++tanks) {
        const World world = with_a_mound(tanks);
        const auto pad = Site(world).best();
        ASSERT_TRUE(pad) << tanks;
        EXPECT_EQ(pad->rank.stage, 1) << tanks;
        EXPECT_GE(pad->cell.col, 44) << tanks;
        World level = world;
        std::ranges::fill(level.elev_m, 100.0);
        const auto pumped = Site(level).best();
        ASSERT_TRUE(pumped) << tanks;
        EXPECT_EQ(pumped->rank.stage, 3) << tanks;
        EXPECT_LT(pumped->cell.col, 24) << tanks;
    }
}

TEST(PadSearch, MovesWithTheGroundAndNothingElse) {
    for (std::uint64_t seed = 0; seed < 200; ++seed) {
        SCOPED_TRACE(seed);
        const World low = on_binary_heights(random_world(seed));
        World high = low;
        for (double& elevation : high.elev_m) {
            elevation += 64.0;
        }
        high.eave_elev_m += 64.0;
        high.use_elev_m += 64.0;
        const Site low_site(low);
        const Site high_site(high);
        EXPECT_EQ(low_site.search().removed(low.tanks), high_site.search().removed(high.tanks));
        const auto a = low_site.best();
        const auto b = high_site.best();
        ASSERT_EQ(a.has_value(), b.has_value());
        if (a) {
            EXPECT_EQ(a->cell, b->cell);
            EXPECT_NEAR(a->pad_elev_m + 64.0, b->pad_elev_m, 1e-9);
            EXPECT_NEAR(a->fill_margin_m, b->fill_margin_m, 1e-9);
            EXPECT_NEAR(a->feed.pressure_kpa, b->feed.pressure_kpa, 1e-9);
            EXPECT_EQ(a->slope, b->slope);
        }
    }
}

// East becomes west about the middle of the grid.
World mirrored(World world) {
    const Box box = world.grid.extent();
    const auto turn = [&](Point point) { return Point{box.x_min + box.x_max - point.x, point.y}; };
    const auto turn_outline = [&](MultiPolygon outline) { return mapped(std::move(outline), turn); };
    const auto cols = static_cast<std::size_t>(world.grid.cols);
    for (auto row = world.elev_m.begin(); row != world.elev_m.end(); row += static_cast<std::ptrdiff_t>(cols)) {
        std::reverse(row, row + static_cast<std::ptrdiff_t>(cols));
    }
    world.roof = turn_outline(world.roof);
    if (world.parcel) {
        world.parcel = turn_outline(*world.parcel);
    }
    for (Building& other : world.others) {
        other.outline = turn_outline(other.outline);
    }
    for (Obstacle& obstacle : world.obstacles) {
        obstacle.area = turn_outline(obstacle.area);
        std::transform(obstacle.line.begin(), obstacle.line.end(), obstacle.line.begin(), turn);
    }
    world.use = turn(world.use);
    return world;
}

TEST(PadSearch, MirrorsWithTheGroundUpToTies) {
    for (std::uint64_t seed = 0; seed < 200; ++seed) {
        SCOPED_TRACE(seed);
        const World world = random_world(seed);
        const World mirror = mirrored(world);
        const auto a = Site(world).best();
        const auto b = Site(mirror).best();
        ASSERT_EQ(a.has_value(), b.has_value());
        if (a) {
            EXPECT_EQ(a->rank.stage, b->rank.stage);
            EXPECT_EQ(a->rank.feed, b->rank.feed);
            EXPECT_EQ(a->rank.missing_steps, b->rank.missing_steps);
            EXPECT_NEAR(a->rank.length_m, b->rank.length_m, 2e-6);
            EXPECT_NEAR(a->rank.missing_kpa, b->rank.missing_kpa, 2e-6);
        }
    }
}

std::set<Cell> eligible(const World& world) {
    std::set<Cell> cells;
    for (const Pad& pad : Site(world).all()) {
        cells.insert(pad.cell);
    }
    return cells;
}

TEST(PadSearch, GainsNoCellByAWiderSetback) {
    std::size_t lost = 0;
    for (std::uint64_t seed = 0; seed < 100; ++seed) {
        SCOPED_TRACE(seed);
        const World world = random_world(seed);
        const std::set<Cell> before = eligible(world);
        std::vector<World> wider(3, world);
        wider[0].rules.limits[PadReason::boundary_setback] += 2.0;
        wider[1].rules.limits[PadReason::building_setback] += 2.0;
        for (Obstacle& obstacle : wider[2].obstacles) {
            obstacle.setback_m += 2.0;
        }
        for (const World& strict : wider) {
            const std::set<Cell> after = eligible(strict);
            EXPECT_TRUE(std::includes(before.begin(), before.end(), after.begin(), after.end()));
            lost += before.size() - after.size();
        }
    }
    EXPECT_GT(lost, 300U);
}

TEST(PadSearch, IgnoresWhereOnTheGridTheSiteLies) {
    for (std::uint64_t seed = 0; seed < 50; ++seed) {
        SCOPED_TRACE(seed);
        const World world = random_world(seed);
        World moved = world;  // by a power of two, which rounds coordinates alike
        const auto shift = [](Point point) { return Point{point.x + 16384.0, point.y - 4096.0}; };
        moved.grid.x_min += 16384.0;
        moved.grid.y_max -= 4096.0;
        moved.roof = mapped(moved.roof, shift);
        if (moved.parcel) {
            moved.parcel = mapped(*moved.parcel, shift);
        }
        for (Building& other : moved.others) {
            other.outline = mapped(other.outline, shift);
        }
        for (Obstacle& obstacle : moved.obstacles) {
            obstacle.area = mapped(obstacle.area, shift);
            std::transform(obstacle.line.begin(), obstacle.line.end(), obstacle.line.begin(), shift);
        }
        moved.use = shift(moved.use);
        const auto a = Site(world).best();
        const auto b = Site(moved).best();
        ASSERT_EQ(a.has_value(), b.has_value());
        if (a) {
            EXPECT_EQ(a->rank.stage, b->rank.stage);
            EXPECT_NEAR(a->feed.pressure_kpa, b->feed.pressure_kpa, 1e-6);
        }
    }
}

}  // namespace
}  // namespace eaveshed
