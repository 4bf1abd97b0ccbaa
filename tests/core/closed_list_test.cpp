#include "eaveshed/core/closed_list.hpp"

#include <gtest/gtest.h>

#include <cstdint>

namespace eaveshed {

enum class Weather : std::uint8_t { dry, wet };
template <>
inline constexpr TermList<2> kTermList<Weather>{
    "weather", "what the sky does", {{{"dry", "no rain"}, {"wet", "rain"}}}};

namespace {

enum class WithoutTerms : std::uint8_t { one };

TEST(ClosedList, AWordStandsForItsValueAndBack) {
    EXPECT_EQ(to_text(Weather::wet), "wet");
    EXPECT_EQ(term_of(Weather::dry).meaning, "no rain");
    EXPECT_EQ(from_text<Weather>("wet"), Weather::wet);
    EXPECT_EQ(from_text<Weather>("Wet"), std::nullopt);
    EXPECT_EQ(from_text<Weather>(""), std::nullopt);
}

TEST(ClosedList, IsReadWithoutItsEnumeration) {
    constexpr ClosedList list = closed_list<Weather>();
    EXPECT_EQ(list.name, "weather");
    EXPECT_EQ(list.meaning, "what the sky does");
    ASSERT_EQ(list.terms.size(), 2U);
    EXPECT_EQ(list.terms[1].name, "wet");
    EXPECT_EQ((PerTerm<Weather, int>{}.size()), 2U);
}

TEST(ClosedList, AnEnumerationWithoutTermsHasNone) {
    static_assert(HasTerms<Weather>);
    static_assert(!HasTerms<WithoutTerms>);
    static_assert(!HasTerms<int>);
}

}  // namespace
}  // namespace eaveshed
