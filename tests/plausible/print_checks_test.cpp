// docs/checks.md is the table of checks.
#include "eaveshed/plausible/print_checks.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <set>
#include <sstream>

#include "eaveshed/core/check_code.hpp"
#include "support/committed_page.hpp"

namespace eaveshed {
namespace {

std::string made_page() {
    std::ostringstream made;
    print_checks(made);
    return made.str();
}

TEST(Checks, TheirPageIsUpToDate) {
    testing::expect_committed_page("docs/checks.md", made_page(), "eaveshed help checks > docs/checks.md");
}

TEST(Checks, HaveACodeAReasonAndARemedyEach) {
    std::set<std::string_view> codes;
    for (const CheckRule& rule : kCheckRules) {
        EXPECT_TRUE(codes.insert(rule.code).second) << rule.code;
        EXPECT_THAT(rule.meaning, ::testing::Not(::testing::IsEmpty()));
        EXPECT_THAT(rule.of, ::testing::Not(::testing::IsEmpty()));
        EXPECT_THAT(rule.reason, ::testing::Not(::testing::IsEmpty()));
        EXPECT_THAT(rule.remedy, ::testing::Not(::testing::IsEmpty()));
        EXPECT_TRUE(rule.low < rule.high || rule.high == 0.0) << rule.code;
        EXPECT_NE(rule.severity, Severity::error);  // those are of unsound files
    }
    EXPECT_EQ(from_text<CheckCode>("frost_months"), CheckCode::frost_months);  // the last: both lists are one
    EXPECT_EQ(from_text<CheckCode>("footprint_areas"), CheckCode::footprint_areas);
}

TEST(Checks, TheirPageSaysOfWhatAShareIs) {
    EXPECT_THAT(made_page(), ::testing::HasSubstr("above 1; 30 % of the parcels or more"));
    EXPECT_THAT(made_page(), ::testing::HasSubstr("| 100 % of the roofs |"));
}

}  // namespace
}  // namespace eaveshed
