#include "eaveshed/explain/siting_rules.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <sstream>

#include "eaveshed/siting/siting_rule.hpp"
#include "support/committed_page.hpp"

namespace eaveshed {
namespace {

using ::testing::HasSubstr;

std::string printed(void (*print)(std::ostream&)) {
    std::ostringstream out;
    print(out);
    return out.str();
}

TEST(SitingRulesPage, IsTheCommittedOne) {
    testing::expect_committed_page("docs/siting_rules.md", printed(print_siting_rules_markdown),
                                   "eaveshed rules --markdown > docs/siting_rules.md");
}

TEST(SitingRulesPage, NamesEveryRuleAndItsSettingsInBothForms) {
    const std::string text = printed(print_siting_rules_text);
    const std::string markdown = printed(print_siting_rules_markdown);
    for (const SitingRule& rule : siting_rules()) {
        EXPECT_THAT(text, HasSubstr("\n  " + std::string(to_text(rule.reason)) + ": "));
        EXPECT_THAT(markdown, HasSubstr(" | `" + std::string(to_text(rule.reason)) + "` | "));
        EXPECT_THAT(text, HasSubstr(std::string(rule.limit)));
        EXPECT_THAT(markdown,
                    HasSubstr("`" + std::string(rule.limit.empty() ? "siting.max_fill_m" : rule.limit) + "`"));
    }
}

TEST(SitingRulesPage, SaysTheLimitsOfAProject) {
    Settings settings;
    settings.siting.max_slope_pct = 12.5;
    EXPECT_EQ(limit_text(PadReason::slope, settings, QuantityText(OutputUnits::si)), "12.5 %");
    EXPECT_EQ(limit_text(PadReason::feed_lift, settings, QuantityText(OutputUnits::si)), "10 m");
    EXPECT_EQ(limit_text(PadReason::parcel, settings, QuantityText(OutputUnits::si)), "");
    EXPECT_EQ(limit_text(PadReason::exclusion, settings, QuantityText(OutputUnits::si)), "")
        << "every exclusion has its own";
}

TEST(SitingRulesPage, SaysInAWordEachWhatAVisitSettles) {
    EXPECT_EQ(settled_by_visit_text(), "slope, cut, parcel, setbacks, exclusions");
}

}  // namespace
}  // namespace eaveshed
