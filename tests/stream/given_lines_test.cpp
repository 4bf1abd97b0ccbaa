// method.md 7.16: the network of given lines.
#include "eaveshed/stream/given_lines.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "eaveshed/core/error.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;
using testing::RandomNumbers;

GivenLine line(std::initializer_list<Point> points, double first_elev_m = kMissing, double last_elev_m = kMissing) {
    return {Line(points), first_elev_m, last_elev_m};
}

std::vector<std::uint32_t> next_of(const GivenNetwork& network) {
    std::vector<std::uint32_t> next;
    for (std::size_t i = 0; i < network.tree.size(); ++i) {
        next.push_back(network.tree.next(i));
    }
    return next;
}

TEST(GivenLines, MeetAtEndsThatNearlyTouch) {
    const GivenNetwork network = network_of({line({{0, 100}, {50, 50.4}}, 90, 80),    //
                                             line({{100, 100}, {50.4, 50}}, 95, 80),  //
                                             line({{50, 50}, {50, 0}}, 80, 70)},
                                            {});
    EXPECT_THAT(next_of(network), ElementsAre(2, 2, kNoReach));
    EXPECT_EQ(network.node_count, 4U);
    EXPECT_EQ(network.lower_node[0], network.upper_node[2]);
    EXPECT_EQ(network.lower_node[1], network.upper_node[2]);
    EXPECT_EQ(network.tree.strahler(2), 2);
    EXPECT_THAT(network.rising, IsEmpty());
    EXPECT_THAT(network.unjudged, IsEmpty());
    EXPECT_THAT(network.gaps, IsEmpty());
    EXPECT_THAT(network.loops, IsEmpty());
    EXPECT_THAT(network.forks, IsEmpty());
}

TEST(GivenLines, DoNotMeetBeyondTheTolerance) {
    const std::vector<GivenLine> lines{line({{0, 100}, {0, 50}}), line({{0, 48.9}, {0, 0}})};
    LineRules rules;
    EXPECT_THAT(next_of(network_of(lines, rules)), ElementsAre(kNoReach, kNoReach));
    rules.join_m = 1.2;
    EXPECT_THAT(next_of(network_of(lines, rules)), ElementsAre(1, kNoReach));
    rules.join_m = 0.0;
    EXPECT_THAT(next_of(network_of({line({{0, 9}, {0, 5}}), line({{0, 5}, {0, 0}})}, rules)), ElementsAre(1, kNoReach));
}

TEST(GivenLines, ThatRiseAreToldAndTurnedWhereAsked) {
    const std::vector<GivenLine> lines{line({{0, 100}, {0, 50}}, 90, 80),    //
                                       line({{0, 0}, {0, 50}}, 70, 80),      // against the water
                                       line({{50, 50}, {0, 50}}, 79.5, 80),  // rises by less than the slack
                                       line({{0, 0}, {0, -9}}, 70, kMissing)};
    LineRules rules;
    const GivenNetwork as_drawn = network_of(lines, rules);
    EXPECT_THAT(as_drawn.rising, ElementsAre(1));
    EXPECT_THAT(as_drawn.unjudged, ElementsAre(3));
    EXPECT_THAT(next_of(as_drawn), ElementsAre(kNoReach, kNoReach, kNoReach, kNoReach));
    EXPECT_EQ(as_turned(as_drawn, 1, lines[1].line), lines[1].line);
    rules.turn = true;
    const GivenNetwork turned = network_of(lines, rules);
    EXPECT_THAT(turned.rising, ElementsAre(1));
    EXPECT_THAT(next_of(turned), ElementsAre(1, 3, 1, kNoReach));
    EXPECT_EQ(as_turned(turned, 1, lines[1].line), (Line{{0, 50}, {0, 0}}));
    EXPECT_EQ(as_turned(turned, 0, lines[0].line), lines[0].line);
}

TEST(GivenLines, ThatStopShortOfAnotherAreGaps) {
    const GivenNetwork network = network_of({line({{0, 100}, {0, 60}}),      // 10 m short of the next
                                             line({{0, 50}, {0, 0}}),        //
                                             line({{90, 25}, {20, 25}}),     // 20 m beside a line
                                             line({{90, -70}, {80, -70}})},  // far away
                                            {});
    EXPECT_THAT(network.gaps, ElementsAre(LineGap{0, 1, 10.0}, LineGap{2, 1, 20.0}));
    EXPECT_THAT(next_of(network), ElementsAre(kNoReach, kNoReach, kNoReach, kNoReach));
}

TEST(GivenLines, NextToTheirOwnOutletAreNoGaps) {
    // A bend whose upper end comes by its own mouth, and a side stream of it.
    const GivenNetwork network =
        network_of({line({{0, 0}, {100, 0}, {100, 100}, {5, 100}, {5, 8}}), line({{50, -50}, {0, 0}})}, {});
    EXPECT_THAT(network.gaps, IsEmpty());
    EXPECT_THAT(next_of(network), ElementsAre(kNoReach, 0));
}

// The last of three is drawn uphill and ends where the first does.
TEST(GivenLines, ThatMeetTheEndOfARisingLineAreNoGaps) {
    const std::vector<GivenLine> lines{line({{0, 100}, {0, 60}}, 90, 80),    //
                                       line({{12, 100}, {12, 0}}, 90, 60),   //
                                       line({{0, 0}, {0, 60}}, 70, 80),      //
                                       line({{50, 80}, {24, 80}}, 99, 95)};  // a gap of its own
    LineRules rules;
    EXPECT_THAT(network_of(lines, rules).gaps, ElementsAre(LineGap{1, 2, 12.0}, LineGap{3, 1, 12.0}));
    rules.turn = true;  // then the first leads on, and the last ends beside the second
    EXPECT_THAT(network_of(lines, rules).gaps,
                ElementsAre(LineGap{1, 2, 12.0}, LineGap{2, 1, 12.0}, LineGap{3, 1, 12.0}));
}

TEST(GivenLines, NoLongerThanTheToleranceAreTold) {
    const std::vector<GivenLine> lines{line({{0, 100}, {0, 99}}), line({{0, 99}, {0, 98.5}, {0, 97.9}}),
                                       line({{0, 97.9}, {0, 90}}), line({{5, 5}})};
    EXPECT_THAT(network_of(lines, {}).short_lines, ElementsAre(0));
    EXPECT_THAT(network_of(lines, {.join_m = 1.2}).short_lines, ElementsAre(0, 1));
    EXPECT_THAT(network_of(lines, {.join_m = 0.9}).short_lines, IsEmpty());
}

// Ways walked line by line come to 2e10 steps and more in each of these.
TEST(GivenLines, OfAHundredThousandAreANetworkAtOnce) {
    constexpr int kLines = 100000;
    constexpr double kStepM = 10.0;
    // A ring from whose every node an arm leads back to it, and a chain into it with a stub beside each of its lines.
    std::vector<GivenLine> ring;
    std::vector<GivenLine> chain;
    const auto on_ring = [](int i, double stretch) {
        const double angle = 2.0 * M_PI * (i % (kLines / 2)) / (kLines / 2);
        return Point{stretch * kStepM * kLines * std::cos(angle), stretch * kStepM * kLines * std::sin(angle)};
    };
    for (int i = 0; i < kLines / 2; ++i) {
        ring.push_back(line({on_ring(i, 1.0), on_ring(i + 1, 1.0)}));
        chain.push_back(line({{kStepM * i, 0.0}, {kStepM * (i + 1), 0.0}}));
    }
    for (int i = 0; i < kLines / 2; ++i) {
        ring.push_back(line({on_ring(i, 1.0), on_ring(i, 1.1), on_ring(i + 1, 1.0)}));
        chain.push_back(line({{kStepM * i, 5.0}, {kStepM * i, 0.5}}));
    }
    const GivenNetwork round = network_of(ring, {});
    ASSERT_EQ(round.loops.size(), 1U);
    EXPECT_EQ(round.loops[0].cut, static_cast<std::uint32_t>(kLines / 2 - 1));
    EXPECT_EQ(round.loops[0].to, kNoReach);
    // Each stub lies within reach of hundreds of lines and flows into the nearest.
    const GivenNetwork joined = network_of(chain, {.join_m = 0.6, .gap_m = 1000.0});
    EXPECT_EQ(joined.tree.outlets().size(), 1U);
    const GivenNetwork apart = network_of(chain, {.join_m = 0.1, .gap_m = 1000.0});
    EXPECT_EQ(apart.tree.outlets().size(), 1U + kLines / 2);
    EXPECT_EQ(apart.gaps.size(), 1U + kLines / 2);
}

TEST(GivenLines, ThatEndOnAnotherFlowIntoIt) {
    const GivenNetwork network = network_of({line({{0, 100}, {0, 0}}),        //
                                             line({{50, 50}, {0.4, 50}}),     // meets it midway
                                             line({{-50, 80}, {0.2, 50.1}}),  // ends at the same node
                                             line({{0, -40}, {0, -90}})},
                                            {.join_m = 1.0, .gap_m = 60.0});
    EXPECT_THAT(next_of(network), ElementsAre(kNoReach, 0, 0, kNoReach));
    EXPECT_THAT(network.joined_midway, ElementsAre(1, 2));
    EXPECT_THAT(network.gaps, ElementsAre(LineGap{0, 3, 40.0}));
}

TEST(GivenLines, ThatForkLeadEverythingIntoTheFirstArm) {
    const GivenNetwork network = network_of({line({{0, 50}, {0, 0}}),    // the first arm
                                             line({{0, 100}, {0, 50}}),  //
                                             line({{0, 50}, {50, 0}}),   // the second
                                             line({{50, 0}, {0, 0}}),    // leads back
                                             line({{0, 0}, {0, -50}})},
                                            {});
    EXPECT_THAT(next_of(network), ElementsAre(4, 0, 3, 4, kNoReach));
    EXPECT_THAT(network.forks, ElementsAre(LineFork{{0, 2}}));
    // What comes from above is counted once at the outlet.
    EXPECT_THAT(network.tree.accumulated(std::vector<double>{0, 1, 0, 0, 0}), ElementsAre(1, 1, 0, 0, 1));
}

TEST(GivenLines, ThatLoopAreCutWhereAnotherLeadsAway) {
    const GivenNetwork network = network_of({line({{0, 0}, {50, 0}}),     //
                                             line({{50, 0}, {50, 50}}),   //
                                             line({{50, 50}, {0, 0}}),    // back to the first
                                             line({{50, 50}, {90, 90}}),  // away
                                             line({{-50, 0}, {0, 0}})},
                                            {});
    EXPECT_THAT(network.loops, ElementsAre(LineLoop{{0, 1, 2}, 1, 3}));
    EXPECT_THAT(next_of(network), ElementsAre(1, 3, 0, kNoReach, 0));
}

TEST(GivenLines, ThatLoopWithoutAWayOutAreCutAtTheLast) {
    const GivenNetwork network = network_of(
        {line({{0, 0}, {50, 0}}), line({{50, 0}, {50, 50}}), line({{50, 50}, {0, 0}}), line({{7, 90}, {50, 50}})}, {});
    EXPECT_THAT(network.loops, ElementsAre(LineLoop{{0, 1, 2}, 2, kNoReach}));
    EXPECT_THAT(next_of(network), ElementsAre(1, 2, kNoReach, 2));
}

TEST(GivenLines, ThatComeBackToTheirBeginningAreLoops) {
    const GivenNetwork network = network_of({line({{0, 0}, {50, 0}, {50, 50}, {0, 0}}), line({{0, 0}, {0, -50}})}, {});
    EXPECT_THAT(network.loops, ElementsAre(LineLoop{{0}, 0, 1}));
    EXPECT_THAT(next_of(network), ElementsAre(1, kNoReach));
}

TEST(GivenLines, ShorterThanTheToleranceLeadOn) {
    const LineRules rules{.join_m = 2.0};
    const GivenNetwork alone = network_of({line({{0, 5}, {0, 4.5}})}, rules);
    EXPECT_EQ(alone.node_count, 2U);
    EXPECT_THAT(alone.loops, IsEmpty());
    // Between two others both its ends are one node: told as a loop, and its water goes on.
    const GivenNetwork between =
        network_of({line({{0, 9}, {0, 5}}), line({{0, 5}, {0, 4.5}}), line({{0, 3}, {0, 0}})}, rules);
    EXPECT_THAT(next_of(between), ElementsAre(1, 2, kNoReach));
    EXPECT_THAT(between.loops, ElementsAre(LineLoop{{1}, 1, 2}));
}

TEST(GivenLines, WithoutTwoPointsStandAlone) {
    const GivenNetwork network = network_of({line({}), line({{0, 9}, {0, 0}}), line({{0, 0}})}, {});
    EXPECT_THAT(next_of(network), ElementsAre(kNoReach, kNoReach, kNoReach));
    EXPECT_THAT(network.gaps, IsEmpty());
    EXPECT_THAT(next_of(network_of({}, {})), IsEmpty());
}

TEST(GivenLines, NeedTolerancesThatAreNotNegative) {
    EXPECT_THROW(static_cast<void>(network_of({}, {.join_m = -1.0})), Error);
}

// Whatever is drawn, the result is a forest in which each line flows on from where it ends, and no gain is lost or
// counted twice.
TEST(GivenLines, MakeAForestWhateverIsDrawn) {
    RandomNumbers random(31);
    for (int i = 0; i < 300; ++i) {
        std::vector<GivenLine> lines;
        for (int k = random.whole(1, 40); k > 0; --k) {
            const auto place = [&] {
                return Point{10.0 * random.whole(0, 5) + random.between(-0.2, 0.2), 10.0 * random.whole(0, 5)};
            };
            lines.push_back({{place(), place()}, random.between(0.0, 9.0), random.between(0.0, 9.0)});
        }
        const LineRules rules{.join_m = 1.0, .gap_m = 5.0, .elevation_slack_m = 0.5, .turn = i % 2 == 0};
        const GivenNetwork network = network_of(lines, rules);
        std::vector<double> local(lines.size(), 1.0);
        const std::vector<double> total = network.tree.accumulated(local);
        double out = 0.0;
        for (std::uint32_t k = 0; k < lines.size(); ++k) {
            const std::uint32_t next = network.tree.next(k);
            out += next == kNoReach ? total[k] : 0.0;
            const bool midway = std::ranges::binary_search(network.joined_midway, k);
            if (next != kNoReach && !midway) {
                EXPECT_EQ(network.lower_node[k], network.upper_node[next]);
            }
        }
        EXPECT_EQ(out, static_cast<double>(lines.size()));
        const GivenNetwork again = network_of(lines, rules);
        EXPECT_EQ(next_of(again), next_of(network));
    }
}

}  // namespace
}  // namespace eaveshed
