// Drawings are well-formed whatever the texts in them are, and refer to nothing outside.
#include "eaveshed/drawing/svg.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <limits>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/xml_text.hpp"
#include "eaveshed/drawing/colours.hpp"
#include "eaveshed/drawing/marked_text.hpp"
#include "eaveshed/drawing/picture.hpp"

namespace eaveshed {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

TEST(MarkedText, WhatCouldBecomeMarkupIsAReference) {
    EXPECT_EQ(xml_text("<script>alert(1)</script>"), "&lt;script&gt;alert(1)&lt;/script&gt;");
    EXPECT_EQ(xml_text(R"("><img onerror='x'> & co)"), "&quot;&gt;&lt;img onerror=&apos;x&apos;&gt; &amp; co");
    EXPECT_EQ(xml_text("]]>"), "]]&gt;");
    EXPECT_EQ(xml_text(std::string_view("a\0b\x1b\n", 5)),
              "a\xEF\xBF\xBD"
              "b\xEF\xBF\xBD\n");
    EXPECT_EQ(xml_text("Müller, Zoë"), "Müller, Zoë");
}

TEST(MarkedText, NumbersHaveFewDecimalsAndNoExponent) {
    EXPECT_EQ(svg_number(12.5), "12.5");
    EXPECT_EQ(svg_number(12.004), "12");
    EXPECT_EQ(svg_number(-0.001), "0");
    EXPECT_EQ(svg_number(100.0, 0), "100");
    EXPECT_EQ(svg_number(1e6, 1), "1000000");
    EXPECT_THROW((void)svg_number(std::numeric_limits<double>::quiet_NaN()), Error);
}

TEST(MarkedText, WidthCountsLettersAndNotBytes) {
    EXPECT_DOUBLE_EQ(text_width("Zoë", 10.0), text_width("Zoe", 10.0));
    EXPECT_DOUBLE_EQ(text_width("", 10.0), 0.0);
}

TEST(Svg, HostileTextStaysTextWhereverItStands) {
    const std::string hostile = R"("><script>alert(1)</script><img src=x onerror=alert(1)>)";
    Svg svg({.id = "map", .title = hostile, .description = hostile}, 100.0, 50.0);
    svg.text({1, 2}, hostile);
    svg.area({{{0, 0}, {10, 0}, {10, 10}}}, {.fill = colour::kBlue}, hostile, hostile);
    svg.symbol({5, 5}, Symbol::star, 2.0, {.fill = colour::kOrange}, hostile);
    const std::string element = svg.element();
    EXPECT_THAT(element, Not(HasSubstr("<script")));
    EXPECT_THAT(element, Not(HasSubstr("<img")));
    EXPECT_THAT(element, Not(HasSubstr("\"\">")));
    EXPECT_THAT(element, HasSubstr("&lt;script&gt;alert(1)&lt;/script&gt;"));
}

TEST(Svg, SaysItsTitleAndDescriptionToThoseWhoCannotSeeIt) {
    const std::string element = Svg({.id = "gain", .title = "Gain", .description = "By cost"}, 10.0, 5.0).element();
    EXPECT_THAT(element, HasSubstr("role=\"img\" aria-labelledby=\"gain-title gain-desc\""));
    EXPECT_THAT(element, HasSubstr("<title id=\"gain-title\">Gain</title>\n<desc id=\"gain-desc\">By cost</desc>"));
    EXPECT_THAT(element, HasSubstr("viewBox=\"0 0 10 5\" width=\"10mm\" height=\"5mm\""));
    EXPECT_THROW(Svg({.id = "x", .title = "", .description = ""}, 1.0, 1.0), Error);
}

TEST(Svg, AGroupLeftOpenIsABrokenInvariant) {
    Svg svg({.id = "a", .title = "A", .description = ""}, 10.0, 5.0);
    svg.open_clip({0, 0, 5, 5});
    EXPECT_THROW((void)svg.element(), Error);
    svg.close();
    EXPECT_THAT(svg.element(), HasSubstr("<clipPath id=\"a-clip-1\">"));
}

TEST(Svg, APathLeavesOutWhatNoEyeSeesAndNeverItsEnd) {
    const std::vector<Point> points{{0, 0}, {0.01, 0}, {5, 0}, {5.01, 0}};
    EXPECT_EQ(path_data(points, false), "M0 0 5 0 5.01 0");
    const std::vector<Point> ring{{0, 0}, {5, 0}, {5, 5}, {0, 0}};
    EXPECT_EQ(path_data(ring, true), "M0 0 5 0 5 5Z");
    EXPECT_EQ(path_data(std::vector<Point>{{1, 1}}, false), "");
}

// WCAG 2.1, 1.4.3: black on white is 21:1.
TEST(Colours, TextIsReadableOnWhite) {
    EXPECT_NEAR(colour::contrast("#000000", "#ffffff"), 21.0, 1e-9);
    EXPECT_GE(colour::contrast(colour::kInk, "#ffffff"), 7.0);
    EXPECT_GE(colour::contrast(colour::kFaintInk, "#ffffff"), 4.5);
}

TEST(Colours, TheSequenceGrowsLighterAtEveryStep) {
    for (std::size_t i = 1; i < colour::kSequence.size(); ++i) {
        EXPECT_LT(colour::contrast(colour::kSequence.at(i), "#ffffff"),
                  colour::contrast(colour::kSequence.at(i - 1), "#ffffff"));
    }
}

// RFC 4648, section 10.
TEST(Picture, Base64GivesThePublishedTexts) {
    const auto of = [](std::string_view text) {
        return base64({reinterpret_cast<const std::uint8_t*>(text.data()), text.size()});
    };
    EXPECT_EQ(of(""), "");
    EXPECT_EQ(of("f"), "Zg==");
    EXPECT_EQ(of("fo"), "Zm8=");
    EXPECT_EQ(of("foobar"), "Zm9vYmFy");
}

// ISO/IEC 15948: the signature, then IHDR with width, height, depth 8 and colour type 4.
TEST(Picture, APngBeginsAsTheStandardSays) {
    const std::string uri = png_uri({1, 2, {0, 255}, {255, 0}});
    EXPECT_TRUE(uri.starts_with("data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAAAIAAAABCAQAAA"));
    EXPECT_THROW((void)png_uri({1, 2, {0}, {255, 0}}), Error);
    EXPECT_THROW((void)png_uri({}), Error);
}

}  // namespace
}  // namespace eaveshed
