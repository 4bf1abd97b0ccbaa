#include "eaveshed/siting/siting_rule.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <functional>
#include <set>
#include <string>

#include "eaveshed/shape/measure.hpp"
#include "siting/random_site.hpp"

namespace eaveshed {
namespace {

using testing::random_world;
using testing::rectangle;
using testing::Site;
using testing::World;

TEST(SitingRules, OneStandsForEveryReasonThatRemovesCellsInTheirOrder) {
    ASSERT_EQ(siting_rules().size(), kPadRules);
    for (std::size_t i = 0; i < kPadRules; ++i) {
        const SitingRule& rule = siting_rules().at(i);
        SCOPED_TRACE(to_text(rule.reason));
        EXPECT_EQ(rule.reason, static_cast<PadReason>(i));
        EXPECT_FALSE(rule.asks.empty());
        EXPECT_FALSE(rule.asks.ends_with('.'));
        EXPECT_TRUE(i == 0 || siting_rules().at(i - 1).subject <= rule.subject) << "what costs more comes later";
    }
}

TEST(SitingRules, NeitherGapsNorHeightsAreSettledByAVisit) {
    for (const SitingRule& rule : siting_rules()) {
        const bool stays = rule.reason == PadReason::elevation_gap || rule.subject == RuleSubject::pad;
        EXPECT_NE(rule.settled_by_visit(), stays) << to_text(rule.reason);
    }
}

// A level place of 40 m x 40 m, a roof of 4 m x 4 m in its middle, and limits that leave all but the built-on cells.
// The ground of the tank has a radius of 1.3 m.
constexpr double kPadRadiusM = 1.3;

World open_place() {
    World world;
    world.grid.rows = 40;
    world.grid.cols = 40;
    world.elev_m.assign(1600, 100.0);
    world.roof = rectangle(5018.0, 8978.0, 5022.0, 8982.0);
    world.eave_elev_m = 104.0;
    world.use = {5020.0, 8970.0};
    world.use_elev_m = 99.0;
    world.rules = testing::shipped_rules();
    world.rules.max_fill_m = 10.0;
    world.tanks = {.diameter_m = 2.0, .height_m = 2.0, .count = 1};
    for (const SitingRule& rule : siting_rules()) {
        world.rules.limits[rule.reason] = 1000.0;
    }
    for (const PadReason setback : {PadReason::boundary_setback, PadReason::building_setback}) {
        world.rules.limits[setback] = 0.01 - kPadRadiusM;  // no centre lies as near as that to an edge
    }
    return world;
}

// Elevations by the x of the cell's centre.
void shape_ground(World& world, const std::function<double(double)>& elev_m) {
    for (std::int64_t row = 0; row < world.grid.rows; ++row) {
        for (std::int64_t col = 0; col < world.grid.cols; ++col) {
            world.elev_m.at(static_cast<std::size_t>(row * world.grid.cols + col)) =
                elev_m(world.grid.centre({row, col}).x);
        }
    }
}
// Level in the west, rising by one half from x = 5025: 12.5 % in the last level column, 37.5 % and more east of it.
void add_hillside(World& world) {
    shape_ground(world, [](double x) { return 100.0 + 0.5 * std::max(0.0, x - 5025.0); });
}

using Change = void (*)(World& world);

// What one rule removes of what is open without it.
struct RuleCase {
    PadReason reason;
    const char* name;
    Change place;   // before
    Change forbid;  // what lets the rule remove
    bool (*falls)(const World& world, Point centre);
};

void nothing(World&) {}

const RuleCase kCases[] = {
    {PadReason::elevation_gap, "the cells around a missing one", nothing,
     [](World& world) { world.elev_m.at(12 * 40 + 25) = std::nan(""); },
     [](const World&, Point p) { return std::abs(p.x - 5025.5) < 1.5 && std::abs(p.y - 8987.5) < 1.5; }},
    {PadReason::slope, "steep ground", add_hillside, [](World& world) { world.rules.limits[PadReason::slope] = 15.0; },
     [](const World&, Point p) { return p.x > 5025.0; }},
    {PadReason::cut, "ground that needs a deep cut", add_hillside,
     [](World& world) { world.rules.limits[PadReason::cut] = 0.9; },  // 2 x 1.3 m x 0.375 = 0.975 m
     [](const World&, Point p) { return p.x > 5025.0; }},
    {PadReason::parcel, "outside the parcel", nothing,
     [](World& world) { world.parcel = rectangle(5000.0, 8960.0, 5023.0, 9000.0); },
     [](const World&, Point p) { return p.x > 5023.0; }},
    {PadReason::parcel, "nearer to another footprint, where there is no parcel", nothing,
     [](World& world) {
         world.others.push_back({1, rectangle(5027.0, 8978.0, 5031.0, 8982.0)});
     },
     [](const World& world, Point p) {
         return distance_to_area(world.others.front().outline, p) < distance_to_area(world.roof, p);
     }},
    {PadReason::boundary_setback, "near the parcel's edge",
     [](World& world) { world.parcel = rectangle(5000.0, 8960.0, 5025.0, 9000.0); },
     [](World& world) { world.rules.limits[PadReason::boundary_setback] = 0.7; },
     [](const World& world, Point p) { return distance_to_edge(*world.parcel, p) < 0.7 + kPadRadiusM; }},
    {PadReason::building_setback, "near the roof", nothing,
     [](World& world) { world.rules.limits[PadReason::building_setback] = 0.7; },
     [](const World& world, Point p) { return distance_to_area(world.roof, p) < 0.7 + kPadRadiusM; }},
    {PadReason::stream_setback, "near a stream", nothing,
     [](World& world) {
         world.obstacles.push_back(
             {.layer = 0, .setback_m = 0.7, .line = {{5025.3, 8960.0}, {5025.3, 9000.0}}, .area = {}});
     },
     [](const World&, Point p) { return std::abs(p.x - 5025.3) < 0.7 + kPadRadiusM; }},
    {PadReason::exclusion, "in or near an exclusion area", nothing,
     [](World& world) {
         world.obstacles.push_back(
             {.layer = 1, .setback_m = 0.7, .line = {}, .area = rectangle(5024.0, 8983.0, 5027.0, 8988.0)});
     },
     [](const World& world, Point p) { return distance_to_area(world.obstacles.front().area, p) < 0.7 + kPadRadiusM; }},
    // Fill margin on level ground: 100 - (100 + 2) - 0.3 - 0.01 x distance.
    {PadReason::lift, "more than 5 m from a gutter at the ground", [](World& world) { world.eave_elev_m = 100.0; },
     [](World& world) { world.rules.limits[PadReason::lift] = 2.35; },
     [](const World& world, Point p) { return distance_to_area(world.roof, p) > 5.0; }},
    // Head: 100 + 0.1 - (105 + 0.6) = -5.5 on the lower step, -4.5 on the upper one, -5.15 at its cut edge.
    {PadReason::feed_lift, "on the lower of two steps, far below the tap",
     [](World& world) {
         shape_ground(world, [](double x) { return x > 5025.0 ? 101.0 : 100.0; });
         world.use_elev_m = 105.0;
     },
     [](World& world) { world.rules.limits[PadReason::feed_lift] = 5.3; },
     [](const World&, Point p) { return p.x < 5025.0; }},
};

std::set<Cell> left_cells(const World& world) {
    std::set<Cell> cells;
    for (const Pad& pad : Site(world).search().eligible(world.tanks)) {
        cells.insert(pad.cell);
    }
    return cells;
}

struct BeforeAndAfter {
    World before = open_place();
    World after;
    explicit BeforeAndAfter(const RuleCase& rule_case) {
        rule_case.place(before);
        after = before;
        rule_case.forbid(after);
    }
};

std::set<Cell> fallen(const BeforeAndAfter& worlds) {
    const std::set<Cell> before = left_cells(worlds.before);
    const std::set<Cell> after = left_cells(worlds.after);
    std::set<Cell> out;
    std::ranges::set_difference(before, after, std::inserter(out, out.end()));
    return out;
}

TEST(SitingRules, EachAloneRemovesWhatItSaysAndNothingElse) {
    std::set<PadReason> tried;
    for (const RuleCase& rule_case : kCases) {
        SCOPED_TRACE(std::string(to_text(rule_case.reason)) + ": " + rule_case.name);
        tried.insert(rule_case.reason);
        const BeforeAndAfter worlds(rule_case);
        const std::set<Cell> before = left_cells(worlds.before);
        const std::set<Cell> after = left_cells(worlds.after);
        ASSERT_FALSE(before.empty());
        EXPECT_FALSE(after.empty());
        EXPECT_LT(after.size(), before.size());
        for (const Cell& cell : before) {
            const bool falls = rule_case.falls(worlds.after, worlds.after.grid.centre(cell));
            EXPECT_NE(after.contains(cell), falls) << cell.row << ' ' << cell.col;
        }
        EXPECT_TRUE(std::ranges::includes(before, after));
        const RemovedCells few = Site(worlds.before).search().removed(worlds.before.tanks);
        const RemovedCells more = Site(worlds.after).search().removed(worlds.after.tanks);
        const auto own = static_cast<std::size_t>(rule_case.reason);
        EXPECT_GE(more.at(own) - few.at(own), before.size() - after.size());
        for (std::size_t i = 0; i < kPadRules; ++i) {
            EXPECT_TRUE(i == own || more.at(i) <= few.at(i)) << to_text(static_cast<PadReason>(i));
        }
    }
    EXPECT_EQ(tried.size(), kPadRules) << "a rule without a case of its own";
}

TEST(SitingRules, AVisitWaivesThoseThatItSettlesAndNoOther) {
    for (const RuleCase& rule_case : kCases) {
        SCOPED_TRACE(std::string(to_text(rule_case.reason)) + ": " + rule_case.name);
        const BeforeAndAfter worlds(rule_case);
        const Site site(worlds.after);
        PadSite given = site.pad_site();
        given.given_cell = *fallen(worlds).begin();
        const PadSearch search(given, worlds.after.rules);
        const std::vector<Pad> found = search.best(worlds.after.tanks, 1);
        const RemovedCells removed = search.removed(worlds.after.tanks);
        if (siting_rules().at(static_cast<std::size_t>(rule_case.reason)).settled_by_visit()) {
            ASSERT_EQ(found.size(), 1U);
            EXPECT_EQ(found.front().waived, rule_case.reason);
            EXPECT_EQ(removed, RemovedCells{});
        } else {
            EXPECT_TRUE(found.empty());
            EXPECT_EQ(removed.at(static_cast<std::size_t>(rule_case.reason)), 1U);
        }
    }
}

TEST(SitingRules, LeaveNoCellMoreForAWiderTank) {
    for (const RuleCase& rule_case : kCases) {
        if (siting_rules().at(static_cast<std::size_t>(rule_case.reason)).subject == RuleSubject::pad) {
            continue;  // heights go with the tank's height too
        }
        SCOPED_TRACE(std::string(to_text(rule_case.reason)) + ": " + rule_case.name);
        World world = BeforeAndAfter(rule_case).after;
        const std::set<Cell> narrow = left_cells(world);
        world.tanks.diameter_m = 3.0;
        EXPECT_TRUE(std::ranges::includes(narrow, left_cells(world)));
    }
}

TEST(SitingRules, WithoutAPlaceForTheLeastGroundNoWiderTanksHaveAPad) {
    int hopeless = 0;
    for (std::uint64_t seed = 0; seed < 300; ++seed) {
        SCOPED_TRACE(seed);
        const World world = random_world(seed);
        const Site site(world);
        Tanks wider = world.tanks;
        wider.diameter_m += 1.0;
        const bool any = site.search().any_place(std::array{wider, world.tanks});
        EXPECT_TRUE(any || !site.best());
        EXPECT_TRUE(any || site.search().best(wider, 1).empty());
        hopeless += any ? 0 : 1;
        // Where neither height nor cut can matter, it tells of a single tank exactly whether there is a pad.
        World pumped = world;
        pumped.tanks.count = 1;
        pumped.rules.limits[PadReason::lift] = 1e6;
        pumped.rules.limits[PadReason::feed_lift] = 1e6;
        pumped.rules.limits[PadReason::cut] = 1e6;
        EXPECT_EQ(site.search().any_place(std::array{pumped.tanks}), Site(pumped).best().has_value());
    }
    EXPECT_GT(hopeless, 5);
    EXPECT_LT(hopeless, 295);
}

}  // namespace
}  // namespace eaveshed
