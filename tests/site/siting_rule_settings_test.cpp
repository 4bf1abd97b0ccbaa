// The rules of a pad's place name settings: they exist, and their values reach the search.
#include <gtest/gtest.h>

#include <string>
#include <variant>

#include "eaveshed/settings/table.hpp"
#include "eaveshed/site/rules.hpp"
#include "eaveshed/siting/siting_rule.hpp"

namespace eaveshed {
namespace {

TEST(SitingRuleSettings, EveryNameStandsInTheTableOfSettings) {
    for (const SitingRule& rule : siting_rules()) {
        SCOPED_TRACE(to_text(rule.reason));
        EXPECT_TRUE(rule.limit.empty() || find_setting(rule.limit) != nullptr) << rule.limit;
        for (const std::string_view name : rule.also) {
            EXPECT_TRUE(name.empty() || find_setting(name) != nullptr) << name;
            EXPECT_TRUE(name.empty() || name != rule.limit) << name;
        }
    }
}

TEST(SitingRuleSettings, EveryLimitIsTheValueOfItsSetting) {
    Settings settings;
    double value = 1.25;
    for (const SitingRule& rule : siting_rules()) {
        const Setting* const setting = rule.limit.empty() ? nullptr : find_setting(rule.limit);
        if (setting == nullptr || find_section(setting->section)->repeated) {
            EXPECT_EQ(rules_from(settings).pad.limits[rule.reason], 0.0) << to_text(rule.reason);
            continue;
        }
        value += 1.0;
        std::get<Reach<double>>(setting->access).edit(settings, 0) = value;
        EXPECT_EQ(rules_from(settings).pad.limits[rule.reason], value) << rule.limit;
    }
    EXPECT_EQ(settings.siting.max_slope_pct, 2.25);
    EXPECT_EQ(rules_from(settings).pad.limits[PadReason::slope], 2.25);
    EXPECT_EQ(rules_from(settings).pad.limits[PadReason::feed_lift], settings.siting.max_feed_lift_m);
}

}  // namespace
}  // namespace eaveshed
