// No value becomes markup, whatever it holds and wherever it stands.
#include "eaveshed/page/page_values.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <regex>

#include "eaveshed/core/error.hpp"
#include "eaveshed/drawing/colours.hpp"
#include "eaveshed/page/page_frame.hpp"
#include "eaveshed/page/report_folder.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

// Ways out of a text, an attribute, a comment, a template, an address.
const std::vector<std::string> kHostile{
    "<script>alert(1)</script>",
    R"("><img src=x onerror=alert(1)>)",
    "' onmouseover='alert(1)",
    "--><script>alert(1)</script>",
    "</title><script>alert(1)</script>",
    "{{MARKUP_X:none}}{{#ROW}}{{/ROW}}",
    "&lt;b&gt;",
};

TEST(PageValues, StayTextInTextsAndAttributes) {
    for (const std::string& hostile : kHostile) {
        PageValues values;
        PageValues row = values.add("ROW");
        row.text("NAME", hostile);
        const std::string html = page("{{#ROW}}<p title=\"{{NAME}}\" data-v='{{NAME}}'>{{NAME}}</p>{{/ROW}}", values);
        EXPECT_EQ(std::ranges::count(html, '<'), 2) << html;
        EXPECT_EQ(std::ranges::count(html, '"'), 2) << html;
        EXPECT_EQ(std::ranges::count(html, '\''), 2) << html;
    }
}

TEST(PageValues, AnAddressMadeByTheDataIsNoScript) {
    PageValues values;
    values.text("WHERE", "javascript:alert(1)");
    EXPECT_THAT(page("<a href=\"{{WHERE}}\">x</a>", values), Not(HasSubstr("javascript:")));
}

TEST(PageValues, APartStandsAsOftenAsItWasAdded) {
    PageValues values;
    values.text("UNIT", "m3");
    for (const char* name : {"a", "b"}) {
        values.add("ROW").text("NAME", name);
    }
    values.text_part("EMPTY", "TEXT", "");
    EXPECT_EQ(page("{{#ROW}}{{NAME}} {{UNIT}};{{/ROW}}{{#EMPTY}}never {{TEXT}}{{/EMPTY}}", values), "a m3;b m3;");
}

TEST(PageValues, OnlyMarkupOfOurOwnIsTakenAsItIs) {
    PageValues values;
    EXPECT_THROW(values.text("MARKUP_X", "<b>"), Error);
    EXPECT_THROW(values.markup("NAME", Markup("<b>")), Error);
    values.text("NAME", "<b>");
    EXPECT_THROW((void)page("<p>{{NAME:none}}</p>", values), Error);
    values.markup("MARKUP_X", Markup("<b>x</b>"));
    EXPECT_EQ(page("<p>{{MARKUP_X:none}}</p>", values), "<p><b>x</b></p>");
}

TEST(PageValues, ATemplateThatCannotBeMadeSafeIsABrokenInvariant) {
    PageValues values;
    values.text("WHERE", "x");
    ::testing::internal::CaptureStderr();
    EXPECT_THROW((void)page("<a href={{WHERE}}>x</a>", values), Error);
    static_cast<void>(::testing::internal::GetCapturedStderr());
}

TEST(PageFrame, ItsPolicyNamesItsOneStyleAndOneScript) {
    PageValues values;
    const std::string html = framed_page("<p>{{TITLE}}</p>\n", "<b>Title</b>", values);
    EXPECT_TRUE(html.starts_with(kReportMark));
    EXPECT_THAT(html,
                AllOf(HasSubstr("<html lang=\"en\">"), HasSubstr("http-equiv=\"Content-Security-Policy\""),
                      HasSubstr("default-src &#39;none&#39;"), HasSubstr("<title>&lt;b&gt;Title&lt;/b&gt;</title>")));
    const std::string policy = content_policy();
    EXPECT_THAT(policy, AllOf(HasSubstr("default-src 'none'"), HasSubstr("img-src data:"),
                              HasSubstr("style-src 'sha256-"), HasSubstr("script-src 'sha256-"),
                              HasSubstr("form-action 'none'"), Not(HasSubstr("unsafe")), Not(HasSubstr("http"))));
    // What is not escaped stands before the policy's hashes only if a browser would compute the same: one style, one
    // script, and no attribute that holds either.
    EXPECT_EQ(html.find("<style"), html.rfind("<style"));
    EXPECT_EQ(html.find("<script"), html.rfind("<script"));
    EXPECT_THAT(html, AllOf(Not(HasSubstr(" style=")), Not(HasSubstr(" onclick=")), Not(HasSubstr("http://")),
                            Not(HasSubstr("https://")), Not(HasSubstr("url("))));
}

// WCAG 2.1, 1.4.3: 4.5 to 1 for texts.
TEST(PageFrame, TextIsReadableInEveryColourOfTheStyle) {
    PageValues values;
    const std::string html = framed_page("", "Title", values);
    const std::regex text("[^-]color: (#[0-9a-f]{6})");
    std::size_t found = 0;
    for (auto colour = std::sregex_iterator(html.begin(), html.end(), text); colour != std::sregex_iterator();
         ++colour) {
        EXPECT_GE(colour::contrast((*colour)[1], "#ffffff"), 4.5) << (*colour)[1];
        EXPECT_GE(colour::contrast((*colour)[1], "#fff3c4"), 4.5) << (*colour)[1];  // a row that a link led to
        ++found;
    }
    EXPECT_GE(found, 4U);
}

}  // namespace
}  // namespace eaveshed
