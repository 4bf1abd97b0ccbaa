#include "eaveshed/files/delimited_text.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/expect_error.hpp"

namespace eaveshed {
namespace {

using ::testing::ElementsAre;
using testing::expect_input_error;

std::vector<std::vector<std::string>> cells(std::string_view text) {
    std::vector<std::vector<std::string>> all;
    for (const TextRow& row : parse_delimited(text, "t.csv").rows) {
        all.push_back(row.cells);
    }
    return all;
}

TEST(DelimitedText, IsReadWithEveryDelimiterAndLineEnd) {
    const auto expected = ElementsAre(ElementsAre("date", "mm"), ElementsAre("1990-01-01", "1.5"));
    for (const char* const text :
         {"date,mm\n1990-01-01,1.5\n", "date;mm\r\n1990-01-01;1.5\r\n", "date\tmm\r1990-01-01\t1.5",
          "date|mm\n1990-01-01|1.5", "date mm\n1990-01-01   1.5\n",
          "\xEF\xBB\xBF"
          "date , mm\n 1990-01-01 ,\t1.5 \n"}) {
        EXPECT_THAT(cells(text), expected) << text;
    }
}

TEST(DelimitedText, KeepsWhatStandsInQuotesAndPassesOverRemarksAndEmptyLines) {
    EXPECT_THAT(cells("# a remark, with commas\n\"a, b\",\"say \"\"x\"\"\"\n\n,,\n\"two\nlines\",2\n"),
                ElementsAre(ElementsAre("a, b", "say \"x\""), ElementsAre("two lines", "2")));
    const DelimitedText table = parse_delimited("#\na,b\n\"x\ny\",1\nc,d\n", "t.csv");
    EXPECT_EQ(table.rows.at(0).line, 2U);
    EXPECT_EQ(table.rows.at(1).line, 3U);
    EXPECT_EQ(table.rows.at(2).line, 5U);
    EXPECT_EQ(table.at(5), "t.csv, line 5");
}

TEST(DelimitedText, SemicolonsSeparateWhereCommasAreDecimal) {
    EXPECT_THAT(
        cells("date;mm\n14.03.1990;1,5\n15.03.1990;0,2\n"),
        ElementsAre(ElementsAre("date", "mm"), ElementsAre("14.03.1990", "1,5"), ElementsAre("15.03.1990", "0,2")));
}

TEST(DelimitedText, KeepsEmptyCellsBetweenTabs) {
    EXPECT_THAT(cells("date\ta\tb\n1990-01-01\t\t2\n"),
                ElementsAre(ElementsAre("date", "a", "b"), ElementsAre("1990-01-01", "", "2")));
}

TEST(DelimitedText, RefusesWhatIsNoTextAndSaysWhatToDo) {
    expect_input_error([] { (void)cells("PK\x03\x04 more"); }, {"t.csv", "a spreadsheet", "save the sheet as CSV"});
    expect_input_error(
        [] {
            (void)cells(
                "\xFF\xFE"
                "d");
        },
        {"UTF-16", "UTF-8"});
    expect_input_error([] { (void)cells(std::string_view("a,b\0c", 5)); }, {"no text"});
    expect_input_error([] { (void)cells("a,b\n1,\"open\n2,3\n"); }, {"double quote in line 2", "never closed"});
    expect_input_error([] { (void)cells("# nothing\n\n"); }, {"without a line"});
}

}  // namespace
}  // namespace eaveshed
