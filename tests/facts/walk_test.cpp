#include "eaveshed/facts/walk.hpp"

#include <gtest/gtest.h>

#include "support/sample_facts.hpp"

namespace eaveshed {
namespace {

using testing::sample_facts;

template <typename Facts>
class Walk : public ::testing::Test {};
using BothTables = ::testing::Types<RoofFacts, ParcelFacts>;
TYPED_TEST_SUITE(Walk, BothTables);

TYPED_TEST(Walk, MeetsEveryFactOnceInTheOrderOfTheTable) {
    TypeParam facts = sample_facts<TypeParam>();
    std::size_t row = 0;
    visit_facts<TypeParam>(facts, [&](const auto& fact, auto& value) {
        EXPECT_EQ(&fact, &FactsOf<TypeParam>::table[row++]);
        EXPECT_TRUE(value);
        value.reset();
    });
    EXPECT_EQ(row, FactsOf<TypeParam>::table.size());
    EXPECT_EQ(facts, TypeParam());
}

TYPED_TEST(Walk, FindsEveryFactByItsMember) {
    for (const auto& fact : FactsOf<TypeParam>::table) {
        std::visit([&](auto member) { EXPECT_EQ(&fact_of(member), &fact); }, fact.member);
    }
}

// One fact at a time: it is replaced and counts as measured, and no other is or does.
TYPED_TEST(Walk, TakesEachMeasuredFactAndNoOther) {
    for (std::size_t row = 0; row < FactsOf<TypeParam>::table.size(); ++row) {
        const auto& fact = FactsOf<TypeParam>::table[row];
        TypeParam given;
        TypeParam facts = sample_facts<TypeParam>(1);
        TypeParam expected = facts;
        std::visit(
            [&](auto member) {
                given.*member = sample_facts<TypeParam>(2).*member;
                expected.*member = given.*member;
            },
            fact.member);
        if constexpr (std::is_same_v<TypeParam, ParcelFacts>) {
            // Another source sets the data's share aside: below.
            expected.source_share = fact.name == "water_source" ? std::nullopt : expected.source_share;
        }
        expected.measured.add(row);
        take_measured(given, facts);
        EXPECT_EQ(facts, expected) << fact.name;
        std::visit([&](auto member) { EXPECT_TRUE(is_measured(facts, member)) << fact.name; }, fact.member);
        EXPECT_EQ(any_measurable(given), fact.measurable) << fact.name;
    }
}

TYPED_TEST(Walk, MergesWhatIsGivenAndLeavesTheRest) {
    TypeParam into = sample_facts<TypeParam>(1);
    merge_facts(TypeParam(), into);
    EXPECT_EQ(into, sample_facts<TypeParam>(1));
    merge_facts(sample_facts<TypeParam>(2), into);
    EXPECT_EQ(into, sample_facts<TypeParam>(2));
    EXPECT_FALSE(any_measurable(TypeParam()));
}

ParcelFacts from_source(const std::string& source, const std::optional<double>& share = std::nullopt) {
    ParcelFacts facts;
    facts.water_source = source;
    facts.source_share = share;
    return facts;
}

TEST(TakeMeasured, AnotherWaterSourceSetsTheDatasShareOfTheOldSourceAside) {
    ParcelFacts facts = from_source("creek", 0.5);
    take_measured(from_source("creek"), facts);
    EXPECT_EQ(facts.source_share, 0.5);  // equal: it only counts as measured
    take_measured(from_source("mains"), facts);
    EXPECT_FALSE(facts.source_share);
    EXPECT_TRUE(is_measured(facts, &ParcelFacts::water_source));
    EXPECT_FALSE(is_measured(facts, &ParcelFacts::source_share));
    take_measured(from_source("spring", 0.7), facts);
    EXPECT_EQ(facts.source_share, 0.7);
}

TEST(Places, NeedBothNumbers) {
    RoofFacts roof;
    roof.set_pad_place({1.0, 2.0});
    EXPECT_EQ(roof.pad_place(), (Point{1.0, 2.0}));
    roof.pad_x.reset();
    EXPECT_FALSE(roof.pad_place());
    ParcelFacts parcel;
    parcel.set_use_point({3.0, 4.0});
    EXPECT_EQ(parcel.use_point(), (Point{3.0, 4.0}));
    parcel.use_y.reset();
    EXPECT_FALSE(parcel.use_point());
}

}  // namespace
}  // namespace eaveshed
