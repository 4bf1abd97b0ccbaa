#include "eaveshed/record/override_row.hpp"

#include <gtest/gtest.h>

#include <map>
#include <string>
#include <type_traits>
#include <variant>
#include <vector>

#include "support/sample_facts.hpp"

namespace eaveshed {
namespace {

using Cell = std::variant<std::monostate, double, std::string>;

// What a row holds, by column.
std::map<std::string_view, Cell> cells(const OverrideRow& row) {
    std::map<std::string_view, Cell> found;
    visit_fields(row, [&found]<typename Member>(const Field& field, const Member& value) {
        if constexpr (std::is_same_v<Member, std::optional<double>> ||
                      std::is_same_v<Member, std::optional<std::string>>) {
            found[field.name] = value ? Cell(*value) : Cell();
        }
    });
    return found;
}

template <typename Facts>
class OverrideColumns : public ::testing::Test {};
using BothTables = ::testing::Types<RoofFacts, ParcelFacts>;
TYPED_TEST_SUITE(OverrideColumns, BothTables);

// One fact at a time: its value stands in the column of its name, and in no other.
TYPED_TEST(OverrideColumns, HoldEachFactThatCanBeMeasured) {
    const TypeParam sample = testing::sample_facts<TypeParam>();
    for (const auto& fact : FactsOf<TypeParam>::table) {
        OverrideRow row;
        Cell value;
        std::visit(
            [&](auto member) {
                row.*member = sample.*member;
                value = *(sample.*member);
            },
            fact.member);
        auto expected = cells(OverrideRow());
        EXPECT_EQ(expected.contains(fact.name), fact.measurable) << fact.name;
        if (fact.measurable) {
            expected[fact.name] = value;
        }
        EXPECT_EQ(cells(row), expected) << fact.name;
    }
}

TEST(OverrideRow, HoldsTheFactsOfRoofsThenOfParcelsBetweenReasonAndUnused) {
    std::vector<std::string_view> names;
    OverrideRow row;
    visit_fields(row, [&names](const Field& field, const auto& /*value*/) { names.push_back(field.name); });
    std::vector<std::string_view> expected{"row_number", "roof_id",    "parcel_id", "date",
                                           "outcome",    "applied_to", "reason"};
    const auto add = [&expected](const auto& fact, const auto& /*value*/) { expected.push_back(fact.name); };
    visit_measurable<RoofFacts>(row, add);
    visit_measurable<ParcelFacts>(row, add);
    expected.push_back("unused");
    EXPECT_EQ(names, expected);
}

}  // namespace
}  // namespace eaveshed
