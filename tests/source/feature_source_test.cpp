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

TEST(Features, WithoutAnIdAreNamedByTheirNumber) {
    Feature feature;
    feature.fid = -7;
    feature.values = {"A1", " \t", std::nullopt, " b "};
    EXPECT_EQ(id_of(feature, 0), "A1");
    EXPECT_EQ(id_of(feature, 1), "-7");
    EXPECT_EQ(id_of(feature, 2), "-7");
    EXPECT_EQ(id_of(feature, 3), " b ");  // ids are compared as they stand
    EXPECT_FALSE(has_id(feature, 1));
    EXPECT_TRUE(has_id(feature, 3));
}

}  // namespace
}  // namespace eaveshed
