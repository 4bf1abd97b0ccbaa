#include "eaveshed/vector/field_text.hpp"

#include <cmath>
#include <limits>
#include <string>

#include <fmt/format.h>
#include <gtest/gtest.h>
#include <ogrsf_frmts.h>

#include "eaveshed/vector/vector_source.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

TEST(FieldText, WholeRealsHaveNoPointAndNoExponent) {
    EXPECT_EQ(real_text(2.0), "2");
    EXPECT_EQ(real_text(-0.0), "0");
    EXPECT_EQ(real_text(200000.0), "200000");
    EXPECT_EQ(real_text(100000000000000.0), "100000000000000");
    EXPECT_EQ(real_text(9007199254740993.0), "9007199254740992");
}

TEST(FieldText, RealsAreTheShortestThatReadBackTheSame) {
    EXPECT_EQ(real_text(0.1), "0.1");
    EXPECT_EQ(real_text(-2.5), "-2.5");
    EXPECT_EQ(real_text(1.0 / 3.0), "0.3333333333333333");
    EXPECT_EQ(real_text(1e300), "1e+300");
    EXPECT_EQ(real_text(std::numeric_limits<double>::quiet_NaN()), "");
    testing::RandomNumbers random(7);
    for (int i = 0; i < 10000; ++i) {
        const double value = random.between(-1.0, 1.0) * std::pow(10.0, random.whole(-20, 20));
        EXPECT_EQ(number_from_text(real_text(value)), value);
    }
}

TEST(FieldText, EveryTypeHasItsText) {
    OGRFeatureDefn* const definition = new OGRFeatureDefn("test");
    definition->Reference();
    const OGRFieldType types[] = {OFTInteger,  OFTInteger64, OFTReal,     OFTString,      OFTDate,   OFTTime,
                                  OFTDateTime, OFTDateTime,  OFTDateTime, OFTIntegerList, OFTBinary, OFTReal};
    int number = 0;
    for (const OGRFieldType type : types) {
        OGRFieldDefn field(fmt::format("f{}", number++).c_str(), type);
        definition->AddFieldDefn(&field);
    }
    {
        OGRFeature feature(definition);
        feature.SetField(0, -7);
        feature.SetField(1, static_cast<GIntBig>(9223372036854775807LL));
        feature.SetField(2, 2.0);
        feature.SetField(3, "text");
        feature.SetField(4, 2026, 1, 5);
        feature.SetField(5, 0, 0, 0, 9, 8, 7.0F);
        feature.SetField(6, 2026, 1, 5, 9, 8, 7.25F, 100);
        feature.SetField(7, 2026, 1, 5, 9, 8, 0.0F, 0);
        feature.SetField(8, 2026, 1, 5, 9, 8, 0.0F, 100 - 14);  // three and a half hours behind
        const int list[] = {1, 2};
        feature.SetField(9, 2, list);
        feature.SetField(10, 2, "\x01\xAB");
        feature.SetField(11, std::numeric_limits<double>::quiet_NaN());
        const char* const expected[] = {"-7",
                                        "9223372036854775807",
                                        "2",
                                        "text",
                                        "2026-01-05",
                                        "09:08:07",
                                        "2026-01-05T09:08:07.250Z",
                                        "2026-01-05T09:08:00",
                                        "2026-01-05T09:08:00-03:30",
                                        "[ 1, 2 ]",
                                        "01AB"};
        std::string text;
        for (int i = 0; i < 11; ++i) {
            EXPECT_TRUE(field_text(feature, i, text)) << i;
            EXPECT_EQ(text, expected[i]) << i;
        }
        EXPECT_FALSE(field_text(feature, 11, text));  // not a number
        feature.SetFieldNull(0);
        feature.UnsetField(3);
        EXPECT_FALSE(field_text(feature, 0, text));
        EXPECT_FALSE(field_text(feature, 3, text));
    }
    definition->Release();
}

TEST(FieldText, NumbersAreReadWithAPointAndNothingElse) {
    EXPECT_EQ(number_from_text("2.5"), 2.5);
    EXPECT_EQ(number_from_text(" \t-3e2\r\n"), -300.0);
    EXPECT_EQ(number_from_text("0"), 0.0);
    for (const char* const text :
         {"", "  ", "2,5", "2.5 m", "1 000", "nan", "inf", "-infinity", "0x10", "--1", "1e999"}) {
        EXPECT_FALSE(number_from_text(std::string(text))) << text;
    }
    EXPECT_FALSE(number_from_text(std::nullopt));
}

}  // namespace
}  // namespace eaveshed
