// docs/checks.md is the table of checks.
#include "eaveshed/plausible/print_checks.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <set>
#include <sstream>

#include "eaveshed/core/check_code.hpp"

namespace eaveshed {
namespace {

TEST(Checks, TheirPageIsUpToDate) {
    std::ostringstream made;
    print_checks(made);
    std::ifstream in(std::string(EAVESHED_SOURCE_DIR) + "/docs/checks.md", std::ios::binary);
    std::ostringstream kept;
    kept << in.rdbuf();
    EXPECT_EQ(kept.str(), made.str()) << "docs/checks.md is out of date: eaveshed help checks > docs/checks.md";
}

TEST(Checks, HaveACodeAReasonAndARemedyEach) {
    std::set<std::string_view> codes;
    for (const CheckRule& rule : kCheckRules) {
        EXPECT_TRUE(codes.insert(rule.code).second) << rule.code;
        EXPECT_THAT(rule.meaning, ::testing::Not(::testing::IsEmpty()));
        EXPECT_THAT(rule.reason, ::testing::Not(::testing::IsEmpty()));
        EXPECT_THAT(rule.remedy, ::testing::Not(::testing::IsEmpty()));
        EXPECT_TRUE(rule.low < rule.high || rule.high == 0.0) << rule.code;
        EXPECT_NE(rule.severity, Severity::error);  // those are of unsound files
    }
    EXPECT_EQ(from_text<CheckCode>("frost_months"), CheckCode::frost_months);  // the last: both lists are one
    EXPECT_EQ(from_text<CheckCode>("footprint_areas"), CheckCode::footprint_areas);
}

}  // namespace
}  // namespace eaveshed
