#include "eaveshed/settings/suggest.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace eaveshed {
namespace {

using ::testing::HasSubstr;

const Section& section(std::string_view name) {
    return *find_section(name);
}

TEST(Suggestion, OfASectionIsTheNearestNameWithItsBrackets) {
    EXPECT_EQ(suggestion_for_section("sitting"), "did you mean [siting]?");
    EXPECT_EQ(suggestion_for_section("tank"), "did you mean [[tanks]]?");
    EXPECT_THAT(suggestion_for_section("zzzzzz"), HasSubstr("eaveshed settings"));
    EXPECT_EQ(brackets(section("tanks")), "[[tanks]]");
    EXPECT_EQ(brackets(section("siting")), "[siting]");
}

TEST(Suggestion, OfAKeyInAnotherSectionNamesThatSection) {
    EXPECT_EQ(suggestion_for_key("max_cut_m", section("harvest")), "it belongs to [siting]");
    EXPECT_EQ(suggestion_for_key("max_cut_m"), "write it below [siting]");
}

TEST(Suggestion, OfAMisspeltKeyIsTheNearestInItsSectionThenAnywhere) {
    EXPECT_EQ(suggestion_for_key("max_cutt_m", section("siting")), "did you mean max_cut_m?");
    EXPECT_EQ(suggestion_for_key("max_cutt_m", section("basin")), "did you mean max_cut_m of [siting]?");
}

TEST(Suggestion, OfAKeyLikeNoOtherListsAShortSectionAndPointsToTheListOfALongOne) {
    EXPECT_THAT(suggestion_for_key("qqqqqqqqqq", section("basin")), HasSubstr("it has name, output"));
    EXPECT_THAT(suggestion_for_key("qqqqqqqqqq", section("siting")), HasSubstr("`eaveshed settings`"));
    EXPECT_THAT(suggestion_for_key("qqqqqqqqqq"), HasSubstr("below a section"));
}

}  // namespace
}  // namespace eaveshed
