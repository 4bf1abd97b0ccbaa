#include "eaveshed/source/feature_source.hpp"

#include <gtest/gtest.h>

namespace eaveshed {
namespace {

TEST(NumberFromText, TakesADecimalNumberBetweenBlanksAndNothingElse) {
    EXPECT_EQ(number_from_text("2.5"), 2.5);
    EXPECT_EQ(number_from_text(" \t-3e2\r\n"), -300.0);
    for (const char* const text : {"", " ", "2,5", "2.5 m", "m", "nan", "inf", "0x10", "1e999"}) {
        EXPECT_EQ(number_from_text(text), std::nullopt) << text;
    }
    EXPECT_EQ(number_from_text(std::nullopt), std::nullopt);
}

}  // namespace
}  // namespace eaveshed
