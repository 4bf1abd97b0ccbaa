#include "eaveshed/words/condition.hpp"

#include <algorithm>
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace eaveshed {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;
using ::testing::StartsWith;

std::string fault(std::string_view text) {
    return fault_of_condition(text).value_or("none");
}

TEST(Condition, WhatJudgesARowIsTaken) {
    for (const char* const text : {"use <> 'greenhouse'",
                                   "floors >= 2 AND eave IS NULL",
                                   "delivery = 'gravity' AND forbearance_m3 > 10",
                                   "(a + b) * 2 < c / 3.5e-2",
                                   "name LIKE 'A%' ESCAPE '\\ '",
                                   "a IN (1, 2, 'x')",
                                   "a NOT IN(1)",
                                   "a BETWEEN 1 AND (2)",
                                   "CASE WHEN a > 1 THEN (b) ELSE (c) END = 1",
                                   "coalesce(a, 0) > upper ( b )",
                                   "\"order\" = 1",
                                   "\"a\"\"b\" = 'it''s; -- no comment /* here */'",
                                   "CAST(a AS INTEGER) % 2 = 0",
                                   "a || b <> 'select'",
                                   "NOT (a)",
                                   "[odd name] = 1",
                                   "a COLLATE NOCASE = 'x'",
                                   "h\xC3\xB6he > 3",
                                   "x = -1",
                                   "like('a%', b)"}) {
        EXPECT_EQ(fault(text), "none") << text;
    }
}

TEST(Condition, WhatCouldDoMoreIsRefusedAndNamed) {
    EXPECT_THAT(fault("1; DELETE FROM parcels"), HasSubstr("';'"));
    EXPECT_THAT(fault("1 -- x"), HasSubstr("comment"));
    EXPECT_THAT(fault("/* */ 1"), HasSubstr("comment"));
    EXPECT_THAT(fault("1) OR (1"), HasSubstr("not opened"));
    EXPECT_THAT(fault("(1"), HasSubstr("not closed"));
    EXPECT_THAT(fault("a = 'x"), HasSubstr("quote that is not closed"));
    EXPECT_THAT(fault(std::string_view("a = 'x\0' OR 1", 13)), HasSubstr("quote that is not closed"));
    EXPECT_THAT(fault("a = (SELECT 1)"), HasSubstr("'select'"));
    EXPECT_THAT(fault("(WITH RECURSIVE r(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM r) SELECT n FROM r)"),
                HasSubstr("'with'"));
    EXPECT_THAT(fault("1 UNION SELECT 2"), HasSubstr("'union'"));
    EXPECT_THAT(fault("1 ORDER BY 2"), HasSubstr("'order'"));
    EXPECT_THAT(fault("1 LIMIT 1"), HasSubstr("'limit'"));
    EXPECT_THAT(fault("a IN other_table"), HasSubstr("IN without a list"));
    EXPECT_THAT(fault("a IN \"other table\""), HasSubstr("IN without a list"));
    EXPECT_THAT(fault("a IN"), HasSubstr("IN without a list"));
    EXPECT_THAT(fault("a REGEXP '(a+)+b'"), HasSubstr("'regexp'"));
    EXPECT_THAT(fault("d < CURRENT_DATE"), HasSubstr("'current_date'"));
    EXPECT_THAT(fault("a = ?1"), HasSubstr("the sign '?'"));
    EXPECT_THAT(fault("a = :b"), HasSubstr("the sign ':'"));
    EXPECT_THAT(fault("a ->> 'b' = 1"), HasSubstr("the sign '->'"));
    EXPECT_THAT(fault("a = 1 \x1b[2J"), HasSubstr("the sign '?'"));
    EXPECT_THAT(fault("a = 'x\\' OR b = ' 1'"), HasSubstr("backslash"));
    EXPECT_THAT(fault(std::string(20'000, 'a')), HasSubstr("more than"));
    EXPECT_THAT(fault(std::string(200, '(') + "1" + std::string(200, ')')), HasSubstr("brackets within"));
}

TEST(Condition, FunctionsAreThoseThatGiveTheSameOnAnyDay) {
    for (const char* const text :
         {"load_extension('x')", "randomblob(1000000000) IS NULL", "random() > 0", "date('now') > a", "zeroblob (9)",
          "\"hex\"(a)", "`readfile`('x')", "generate_series(1, 2)", "count(*) > 1", "a > printf('%999999d', 1)"}) {
        EXPECT_THAT(fault(text), StartsWith("the function '")) << text;
    }
    EXPECT_THAT(fault("\"h\x1b[2J\"(1)"), Not(HasSubstr("\x1b")));
    EXPECT_TRUE(std::ranges::is_sorted(condition_functions()));
}

// What SQLite and OGR say of a name they do not know, as seen of versions 3.40 and 3.6.
TEST(Condition, AnUnknownFieldIsAnsweredWithTheNearest) {
    EXPECT_EQ(condition_remedy("no such column: flors", {"id", "floors"}),
              "did you mean 'floors'?; text values stand between single quotes");
    EXPECT_THAT(condition_remedy("\"flors\" not recognised as an available field.", {"id", "floors"}),
                HasSubstr("'floors'"));
    EXPECT_THAT(condition_remedy("no such column: zzz", {"id", "floors"}), HasSubstr("id, floors"));
    EXPECT_EQ(condition_remedy("syntax error", {"id"}), "correct it; the fields are id");
}

}  // namespace
}  // namespace eaveshed
