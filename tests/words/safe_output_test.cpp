#include "eaveshed/words/safe_output.hpp"

#include <sstream>

#include <gtest/gtest.h>

namespace eaveshed {
namespace {

TEST(SafeOutput, ControlsAndMarksOfDirectionStandAsNumbers) {
    EXPECT_EQ(without_controls("plain, h\xC3\xB6her, \xF0\x9F\x8C\xA7\n\tx\r\n"),
              "plain, h\xC3\xB6her, \xF0\x9F\x8C\xA7\n\tx\r\n");
    EXPECT_EQ(without_controls("a\x1b[2Jb"), "a\\u001b[2Jb");
    EXPECT_EQ(without_controls("a\rb\x08\x7f"), "a\\u000db\\u0008\\u007f");
    EXPECT_EQ(without_controls("\xC2\x9B"
                               "31m"),
              "\\u009b31m");                                                                       // C1: CSI
    EXPECT_EQ(without_controls("\xE2\x80\xAE \xE2\x81\xA6 \xD8\x9C"), "\\u202e \\u2066 \\u061c");  // direction
    EXPECT_EQ(without_controls(std::string_view("\0x", 2)), "\\u0000x");
    EXPECT_EQ(without_controls("\x9B\xFF"), "\xEF\xBF\xBD\xEF\xBF\xBD");  // no UTF-8
}

TEST(SafeOutput, AStreamHandsOnWholeLinesAndTheRestWhenItIsFlushed) {
    std::ostringstream to;
    {
        SafeBuffer buffer(to);
        std::ostream stream(&buffer);
        stream << "a\x1b"
               << "b" << '\xE2' << '\x80';
        EXPECT_EQ(to.str(), "");
        stream << '\xAE' << '\n' << "rest";
        EXPECT_EQ(to.str(), "a\\u001bb\\u202e\n");
        stream << std::flush;
        EXPECT_EQ(to.str(), "a\\u001bb\\u202e\nrest");
        stream << "\x07";
    }
    EXPECT_EQ(to.str(), "a\\u001bb\\u202e\nrest\\u0007");
}

}  // namespace
}  // namespace eaveshed
