#include "eaveshed/words/text_lines.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace eaveshed {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;

TEST(TextLines, BreakAtBlanksWithinTheColumns) {
    EXPECT_THAT(wrapped_lines("one two three four", 9), ElementsAre("one two", "three", "four"));
    EXPECT_THAT(wrapped_lines("one two", 7), ElementsAre("one two"));
    EXPECT_THAT(wrapped_lines("one two", 6), ElementsAre("one", "two"));
}

TEST(TextLines, ALongWordStandsAlone) {
    EXPECT_THAT(wrapped_lines("a incomprehensible b", 5), ElementsAre("a", "incomprehensible", "b"));
}

TEST(TextLines, BlanksInFrontStayAndOthersBecomeOne) {
    EXPECT_THAT(wrapped_lines("  one   two ", 20), ElementsAre("  one two"));
    EXPECT_THAT(wrapped_lines("", 20), IsEmpty());
    EXPECT_THAT(wrapped_lines("   ", 20), IsEmpty());
}

TEST(TextLines, CharactersCountNotBytes) {
    EXPECT_EQ(width_of("m\u00b3 \u2265"), 4U);
    EXPECT_THAT(wrapped_lines("\u00e9\u00e9 \u00e9\u00e9", 5), ElementsAre("\u00e9\u00e9 \u00e9\u00e9"));
}

TEST(TextLines, ATextIndentsAllButTheFirst) {
    EXPECT_EQ(wrapped_text("one two three", 7, 2), "one two\n  three\n");
    EXPECT_EQ(wrapped_text("  one two", 6, 4), "  one\n    two\n");
}

}  // namespace
}  // namespace eaveshed
