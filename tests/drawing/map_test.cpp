// A map keeps its scale, its bar is round, its labels leave each other room.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/drawing/labels.hpp"
#include "eaveshed/drawing/map_frame.hpp"
#include "eaveshed/drawing/marked_text.hpp"
#include "eaveshed/drawing/ticks.hpp"

namespace eaveshed {
namespace {

constexpr PageBox kWindow{10.0, 20.0, 100.0, 80.0};

TEST(MapFrame, BothDirectionsHaveOneScaleAndNorthIsUp) {
    const MapFrame frame({1000, 2000, 1960, 2200}, kWindow, {});  // 960 m into 96 mm
    EXPECT_NEAR(frame.metres_per_mm(), 10.0, 1e-12);
    EXPECT_NEAR(frame.scale(), 10000.0, 1e-9);
    const Point corner = frame.to_page({1000, 2200});
    EXPECT_NEAR(corner.x, 12.0, 1e-9);
    EXPECT_NEAR(corner.y, 50.0, 1e-9);
    EXPECT_LT(frame.to_page({1000, 2200}).y, frame.to_page({1000, 2000}).y);
    const Point back = frame.from_page(frame.to_page({1234, 2100}));
    EXPECT_NEAR(back.x, 1234.0, 1e-9);
    EXPECT_NEAR(back.y, 2100.0, 1e-9);
    EXPECT_NEAR(frame.shown().x_max - frame.shown().x_min, 1000.0, 1e-9);
}

TEST(MapFrame, DegreesAreDrawnByTheirLengthAtTheMiddle) {
    // At 60 degrees a degree of longitude is half as long as one of latitude, on a sphere.
    const MapFrame frame({10.0, 60.0, 10.1, 60.1}, kWindow, {.along_x = 55'600.0, .along_y = 111'200.0});
    const Point from = frame.to_page({10.0, 60.0});
    const Point to = frame.to_page({10.1, 60.1});
    EXPECT_NEAR((from.y - to.y) / (to.x - from.x), 2.0, 1e-9);
    EXPECT_NEAR((from.y - to.y) * frame.metres_per_mm(), 11'120.0, 1e-6);
}

TEST(MapFrame, ASinglePlaceIsGivenSomeGroundAroundIt) {
    const MapFrame frame({5, 5, 5, 5}, kWindow, {});
    EXPECT_NEAR(frame.metres_per_mm(), 50.0 / 76.0, 1e-12);
    EXPECT_THROW(MapFrame(Box{}, kWindow, {}), Error);
}

TEST(ScaleBar, IsTheLongestRoundLengthThatFits) {
    const ScaleBar bar = scale_bar(10.0, 40.0, LengthSystem::metric);  // at most 400 m
    EXPECT_EQ(bar.label, "200 m");
    EXPECT_NEAR(bar.length_mm, 20.0, 1e-12);
    EXPECT_EQ(scale_bar(12.5, 40.0, LengthSystem::metric).label, "500 m");  // exactly
    EXPECT_EQ(scale_bar(60.0, 40.0, LengthSystem::metric).label, "2 km");
    EXPECT_EQ(scale_bar(0.05, 40.0, LengthSystem::metric).label, "2 m");
}

// The international foot is 0.3048 m and the mile 5280 of them, exact.
TEST(ScaleBar, CountsFeetBelowAMileAndMilesFromThere) {
    const ScaleBar feet = scale_bar(10.0, 40.0, LengthSystem::us);  // 1312 ft
    EXPECT_EQ(feet.label, "1000 ft");
    EXPECT_NEAR(feet.length_m, 304.8, 1e-9);
    const ScaleBar miles = scale_bar(100.0, 40.0, LengthSystem::us);  // 2.49 mi
    EXPECT_EQ(miles.label, "2 mi");
    EXPECT_NEAR(miles.length_mm, 2.0 * 5280.0 * 0.3048 / 100.0, 1e-9);
}

TEST(Ticks, AreOneTwoOrFiveTimesAPowerOfTen) {
    EXPECT_DOUBLE_EQ(round_below(9.99), 5.0);
    EXPECT_DOUBLE_EQ(round_below(0.25), 0.2);
    EXPECT_DOUBLE_EQ(round_below(1000.0), 1000.0);
    const Ticks ticks = round_ticks(0.0, 0.23, 5);
    EXPECT_DOUBLE_EQ(ticks.step, 0.02);
    EXPECT_EQ(ticks.text(ticks.values.at(1)), "0.02");
    EXPECT_EQ(ticks.values.size(), 12U);
    const Ticks around = round_ticks(-15.0, 25.0, 4);
    EXPECT_THAT(around.values, ::testing::ElementsAre(-10.0, 0.0, 10.0, 20.0));
    EXPECT_EQ(around.text(-0.0), "0");
    EXPECT_THAT(round_ticks(3.0, 3.0, 4).values, ::testing::ElementsAre(3.0));
}

TEST(Ticks, NeverAreManyMoreThanWanted) {
    for (const double to : {0.0013, 0.9, 1.0, 7.7, 1234.5, 9.99e8}) {
        for (const int wanted : {1, 3, 6, 10}) {
            const Ticks ticks = round_ticks(0.0, to, wanted);
            EXPECT_GE(static_cast<double>(ticks.values.size()), wanted) << to;
            EXPECT_LE(static_cast<double>(ticks.values.size()), 2.5 * wanted + 1.0) << to;
        }
    }
}

TEST(Labels, NeverLieOnEachOtherOrBeyondTheEdge) {
    LabelRoom room({0, 0, 60, 40});
    std::vector<PageBox> placed;
    int left_out = 0;
    for (int i = 0; i < 400; ++i) {  // twenty times more than there is room for
        const Point place{static_cast<double>((i * 37) % 60), static_cast<double>((i * 17) % 40)};
        const std::string text = "label " + std::to_string(i);
        const auto base = room.beside(place, text, 3.0, 1.0);
        if (!base) {
            ++left_out;
            continue;
        }
        const PageBox box{base->x, base->y - 0.78 * 3.0, text_width(text, 3.0), 3.0};
        EXPECT_TRUE(PageBox({-1e-9, -1e-9, 60 + 2e-9, 40 + 2e-9}).holds(box));
        for (const PageBox& other : placed) {
            const bool apart = box.x >= other.right() - 1e-9 || other.x >= box.right() - 1e-9 ||
                               box.y >= other.bottom() - 1e-9 || other.y >= box.bottom() - 1e-9;
            EXPECT_TRUE(apart) << text;
        }
        placed.push_back(box);
    }
    EXPECT_GT(placed.size(), 20U);
    EXPECT_GT(left_out, 100);
}

TEST(Labels, StandRightOfTheirPlaceWhereTheyCan) {
    LabelRoom room({0, 0, 100, 40});
    const auto first = room.beside({50, 20}, "7", 3.0, 1.0);
    ASSERT_TRUE(first.has_value());
    EXPECT_GT(first->x, 50.0);
    const auto second = room.beside({50, 20}, "8", 3.0, 1.0);
    ASSERT_TRUE(second.has_value());
    EXPECT_LT(second->x, 50.0);
    room.take({0, 0, 100, 40});
    EXPECT_FALSE(room.beside({50, 20}, "9", 3.0, 1.0).has_value());
}

}  // namespace
}  // namespace eaveshed
