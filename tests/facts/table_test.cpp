#include "eaveshed/facts/table.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>
#include <string>

#include "eaveshed/facts/walk.hpp"

namespace eaveshed {
namespace {

template <typename Facts>
class EveryFact : public ::testing::Test {};
using AllTables = ::testing::Types<RoofFacts, ParcelFacts, ReachFacts>;
TYPED_TEST_SUITE(EveryFact, AllTables);

bool exists(const SettingName& name) {
    return find_setting(name.section, name.key) != nullptr;
}

TYPED_TEST(EveryFact, HasANameAColumnAndAMemberOfItsOwn) {
    std::set<std::string_view> names;
    std::set<std::string_view> columns;
    for (const auto& fact : FactsOf<TypeParam>::table) {
        EXPECT_TRUE(names.insert(fact.name).second) << fact.name;
        EXPECT_TRUE(columns.insert(fact.column()).second) << fact.name;
        const auto same = [&fact](const auto& other) { return other.member == fact.member; };
        EXPECT_EQ(std::ranges::count_if(FactsOf<TypeParam>::table, same), 1) << fact.name;
    }
}

// Both stand in one table of measured values.
TEST(EveryFact, OfARoofHasAnotherColumnThanThoseOfAParcel) {
    for (const auto& fact : kRoofFacts) {
        const auto same = [&fact](const auto& other) { return other.column() == fact.column(); };
        EXPECT_TRUE(std::ranges::none_of(kParcelFacts, same)) << fact.name;
    }
}

TYPED_TEST(EveryFact, NamesSettingsThatExist) {
    for (const auto& fact : FactsOf<TypeParam>::table) {
        if (!fact.field.empty()) {
            const Setting* const setting = find_setting(FactsOf<TypeParam>::section, fact.field);
            ASSERT_NE(setting, nullptr) << fact.name;
            EXPECT_TRUE(names_field(*setting)) << fact.name;
        }
        EXPECT_EQ(exists(fact.standard), !fact.standard.key.empty()) << fact.name;
        // What stands in says so in the row, and what says so stands in.
        EXPECT_EQ(fact.assumed.has_value(), !fact.standard.key.empty()) << fact.name;
    }
}

TYPED_TEST(EveryFact, CanBeKnownFromAFieldOrFromAMeasurement) {
    for (const auto& fact : FactsOf<TypeParam>::table) {
        const bool by_streams = fact.name == "nearest_reach_m";  // that one the streams tell
        EXPECT_NE(fact.measurable || !fact.field.empty(), by_streams) << fact.name;
        EXPECT_TRUE(fact.when_none.empty() || (!fact.field.empty() && fact.assumed)) << fact.name;
    }
}

TYPED_TEST(EveryFact, ThatCanBeMeasuredSaysWhatItIsAndHowLargeItMayBe) {
    for (const auto& fact : FactsOf<TypeParam>::table) {
        if (!fact.measurable) {
            continue;
        }
        EXPECT_FALSE(fact.title.empty()) << fact.name;
        EXPECT_EQ(fact.meaning.back(), '.') << fact.name;
        const bool number = std::holds_alternative<std::optional<double> TypeParam::*>(fact.member);
        EXPECT_EQ(fact.range.limited(), number) << fact.name;
        EXPECT_TRUE(!number || fact.range.low < fact.range.high) << fact.name;
    }
}

TYPED_TEST(EveryFact, ThatIsAnXIsFollowedByItsY) {
    const auto& table = FactsOf<TypeParam>::table;
    for (std::size_t row = 0; row < table.size(); ++row) {
        if (!table[row].coordinate) {
            continue;
        }
        ASSERT_LT(row + 1, table.size());
        EXPECT_TRUE(table[row].name.ends_with("_x")) << table[row].name;
        EXPECT_TRUE(table[row + 1].coordinate);
        EXPECT_EQ(std::string(table[row].name.substr(0, table[row].name.size() - 1)) + "y", table[row + 1].name);
        ++row;
    }
}

TEST(EveryQuestion, SettlesSomeFactThatWasAssumed) {
    for (const QuestionWords& words : question_words()) {
        const auto question = static_cast<Question>(&words - question_words().data());
        std::set<Flag> flags;
        const auto see = [&](const auto& fact) {
            if (fact.asked == question) {
                flags.insert(fact.assumed.value());
            }
        };
        std::ranges::for_each(kRoofFacts, see);
        std::ranges::for_each(kParcelFacts, see);
        EXPECT_EQ(flags, std::set{assumed_flag(question)}) << words.name;
    }
    EXPECT_EQ(assumed_flag(Question::people_and_garden), Flag::default_demand);
    EXPECT_EQ(assumed_flag(Question::use_point), Flag::assumed_use_point);
}

}  // namespace
}  // namespace eaveshed
