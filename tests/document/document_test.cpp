#include "eaveshed/document/document.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <sstream>

#include "eaveshed/words/text_lines.hpp"

namespace eaveshed {
namespace {

using ::testing::HasSubstr;

Document sample() {
    Document document;
    document.title = "A title";
    document.head = {{"id", std::string("x\xff")}, {"count", std::int64_t{3}}, {"none", Value()}};
    DocumentSection section{.key = "heights", .title = "Heights", .parts = {}};
    section.parts.emplace_back(Words{std::string(30, 'w') + ' ' + std::string(80, 'v')});
    section.parts.emplace_back(
        Fact{.sign = '-',
             .key = "loss_m",
             .label = "Loss",
             .value = -0.001,
             .unit = "m",
             .decimals = 2,
             .from = "a setting whose explanation is longer than one line of the page can hold"});
    section.parts.emplace_back(Fact{
        .key = "class", .label = "Class", .value = std::string("a text longer than a number"), .unit = {}, .from = {}});
    section.parts.emplace_back(FactTable{
        .key = "rows",
        .columns = {{.key = "name", .label = "name"}, {.key = "size_m", .label = "long\nsize", .decimals = 1}},
        .rows = {{std::string("a"), 10.04}, {std::string("bbbbb"), Value()}}});
    document.sections.push_back(section);
    return document;
}

TEST(Document, TextIsAlignedAndWrapped) {
    const std::string text = document_text(sample());
    EXPECT_EQ(text.substr(0, 18), "A title\n\nHeights\n ");
    EXPECT_THAT(text,
                HasSubstr("\n  - Loss" + std::string(31 + 6, ' ') + "0.00 m      a setting whose"));  // no "-0.00"
    EXPECT_THAT(text, HasSubstr("\n    Class" + std::string(30, ' ') + "a text longer than a number\n"));
    EXPECT_THAT(text,
                HasSubstr("\n           long\n    name   size\n    -----------\n    a      10.0\n    bbbbb  none\n"));
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) {
        EXPECT_LE(line.size(), kPageColumns) << line;
    }
}

TEST(Document, JsonHasTheSameFactsUnderTheirKeys) {
    const std::string json = document_json(sample());
    EXPECT_THAT(json, HasSubstr("\"id\": \"x\xEF\xBF\xBD\""));
    EXPECT_THAT(json, HasSubstr("\"none\": null"));
    EXPECT_THAT(json, HasSubstr("\"loss_m\": -0.001"));
    EXPECT_THAT(json, HasSubstr("\"size_m\": 10.04"));
    EXPECT_THAT(json, HasSubstr("\"class\": \"a text longer than a number\""));
}

TEST(Document, NumbersAreShownWithTheirDecimals) {
    EXPECT_EQ(shown(1.005e3, 1), "1005.0");
    EXPECT_EQ(shown(-0.04, 1), "0.0");
    EXPECT_EQ(shown(-0.06, 1), "-0.1");
    EXPECT_EQ(shown(std::int64_t{-7}, 2), "-7");
    EXPECT_EQ(shown(Value(), 2), "none");
    EXPECT_EQ(shown(std::string("a\x1b[31mb"), 0).find('\x1b'), std::string::npos);  // nothing that a terminal obeys
}

}  // namespace
}  // namespace eaveshed
