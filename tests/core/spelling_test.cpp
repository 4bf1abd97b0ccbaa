#include "eaveshed/core/spelling.hpp"

#include <gtest/gtest.h>

#include <array>
#include <string>

namespace eaveshed {
namespace {

// Wagner and Fischer's textbook pair, and a swap of neighbours as one edit.
TEST(Nearest, CountsEdits) {
    EXPECT_EQ(edit_distance("kitten", "sitting"), 3U);
    EXPECT_EQ(edit_distance("slope", "slpoe"), 1U);
    EXPECT_EQ(edit_distance("", "abc"), 3U);
    EXPECT_EQ(edit_distance("abc", ""), 3U);
    EXPECT_EQ(edit_distance("ca", "abc"), 3U);  // optimal string alignment: no place is edited twice
    EXPECT_EQ(edit_distance("Flags", "fLAGS"), 0U);
}

TEST(Nearest, IsTheSameBothWays) {
    constexpr std::array<std::string_view, 5> kWords{"max_fill_m", "max_feed_m", "fill", "", "mx_fill_m"};
    for (const auto a : kWords) {
        for (const auto b : kWords) {
            EXPECT_EQ(edit_distance(a, b), edit_distance(b, a)) << a << ' ' << b;
        }
    }
}

TEST(Nearest, SuggestsTheNearestName) {
    constexpr std::array<std::string_view, 4> kKnown{"max_feed_m", "max_fill_m", "max_lift_m", "id"};
    EXPECT_EQ(closest_name("max_fil_m", kKnown), "max_fill_m");
    EXPECT_EQ(closest_name("MAX_FEED", kKnown), "max_feed_m");
    EXPECT_EQ(closest_name("di", kKnown), "id");
}

TEST(Nearest, SuggestsNothingFarAway) {
    constexpr std::array<std::string_view, 2> kKnown{"max_fill_m", "id"};
    EXPECT_EQ(closest_name("colour", kKnown), "");
    EXPECT_EQ(closest_name("xy", kKnown), "");
    EXPECT_EQ(closest_name("", kKnown), "");
    EXPECT_EQ(closest_name(std::string(100000, 'm'), kKnown), "");
}

TEST(NearestNames, ComeNearestFirstAndInTheirOrder) {
    const std::array<std::string_view, 6> ids{"B00110", "B00101", "X1", "B00100", "B00109", "B01000"};
    EXPECT_EQ(closest_names("B00100", ids, 3), (std::vector<std::string_view>{"B00100", "B00110", "B00101"}));
    EXPECT_EQ(closest_names("B00100", ids, 1), (std::vector<std::string_view>{"B00100"}));
    EXPECT_TRUE(closest_names("nothing like it", ids, 3).empty());
    EXPECT_TRUE(closest_names("", ids, 3).empty());
}

}  // namespace
}  // namespace eaveshed
