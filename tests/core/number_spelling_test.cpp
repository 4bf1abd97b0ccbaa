#include "eaveshed/core/number_spelling.hpp"

#include <gtest/gtest.h>

#include <utility>
#include <vector>

namespace eaveshed {
namespace {

TEST(NumberSpelling, ReadsACommaAsADecimalPointWhereItCanBeNothingElse) {
    const std::vector<std::pair<const char*, const char*>> cases{
        {"3,2", "3.2"},           {"0,234", "0.234"},       {",5", ".5"},
        {"-12,75", "-12.75"},     {"1234,567", "1234.567"}, {"3,2456", "3.2456"},
        {" 3,2 ft ", " 3.2 ft "}, {"1,5e3", "1.5e3"}};
    for (const auto& [written, meant] : cases) {
        const SpelledNumber number = spelled_number(written);
        EXPECT_EQ(number.text, meant);
        EXPECT_EQ(number.spelling, NumberSpelling::restored) << written;
    }
}

TEST(NumberSpelling, DropsWhatPartsThousandsWhereItCanBeNothingElse) {
    const std::vector<std::pair<const char*, const char*>> cases{{"1.234,5", "1234.5"},
                                                                 {"1,234.5", "1234.5"},
                                                                 {"1,234,567", "1234567"},
                                                                 {"1.234.567", "1234567"},
                                                                 {"-12.345.678,9 gal", "-12345678.9 gal"}};
    for (const auto& [written, meant] : cases) {
        const SpelledNumber number = spelled_number(written);
        EXPECT_EQ(number.text, meant);
        EXPECT_EQ(number.spelling, NumberSpelling::restored) << written;
    }
}

TEST(NumberSpelling, OfOneCommaBeforeThreeDigitsCanBeReadInTwoWays) {
    for (const char* const written : {"1,234", "12,500 gal", "-999,000", "100,000"}) {
        const SpelledNumber number = spelled_number(written);
        EXPECT_EQ(number.text, written);
        EXPECT_EQ(number.spelling, NumberSpelling::two_ways) << written;
    }
}

TEST(NumberSpelling, LeavesEverythingElseAsItStands) {
    for (const char* const written :
         {"", " ", "3.2", "1.234", "12", "3,", "1,23,4", "1.2.3", "1,2,3", "1,2345,678", "12,34.5", "1.2345,6",
          "0,234,567", "three", "3 m, 2", "-", "1 234,5", ",", "."}) {
        const SpelledNumber number = spelled_number(written);
        EXPECT_EQ(number.text, written);
        EXPECT_EQ(number.spelling, NumberSpelling::plain) << written;
    }
}

}  // namespace
}  // namespace eaveshed
