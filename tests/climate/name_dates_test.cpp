#include "eaveshed/climate/name_dates.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace eaveshed {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;
using ::testing::Optional;

TEST(NameDates, TheUsualSpellingsAreRead) {
    for (const char* const name : {"rain_1990_03", "pr.199003", "1990-03", "chirps-v2.0.1990.03", "rain_03_1990",
                                   "mar1990_rain", "rain 1990 march", "precip.1990-3"}) {
        EXPECT_THAT(dates_in_name(name), ElementsAre(NameDate{1990, 3, 0})) << name;
    }
    for (const char* const name : {"19900314", "rain_1990-03-14", "14.03.1990", "r1990_3_14_v2"}) {
        EXPECT_THAT(dates_in_name(name), ElementsAre(NameDate{1990, 3, 14})) << name;
    }
    EXPECT_THAT(dates_in_name("rain_1990"), ElementsAre(NameDate{1990, 0, 0}));
}

TEST(NameDates, WhatIsNoDateIsNone) {
    for (const char* const name :
         {"rain", "rain_12", "tile_0990_03", "199013", "19900332", "v3_12345", "rain_2500_01"}) {
        EXPECT_THAT(dates_in_name(name), IsEmpty()) << name;
    }
}

TEST(NameDates, DayAndMonthAreNotGuessed) {
    EXPECT_THAT(dates_in_name("03.04.1990"), ElementsAre(NameDate{1990, 3, 4}, NameDate{1990, 4, 3}));
    EXPECT_THAT(dates_in_name("04.04.1990"), ElementsAre(NameDate{1990, 4, 4}));
    EXPECT_THAT(dates_in_name("19900101_19901231"), ElementsAre(NameDate{1990, 1, 1}, NameDate{1990, 12, 31}));
}

TEST(NameDates, TwelveNamesSayTheirMonthsWhereTheyDiffer) {
    std::vector<std::string> names;
    std::vector<int> expected;
    for (const int month : {1, 10, 11, 12, 2, 3, 4, 5, 6, 7, 8, 9}) {
        names.push_back("wc2.1_30s_prec_" + std::to_string(month));
        expected.push_back(month);
    }
    EXPECT_THAT(months_in_names(names), Optional(expected));
    names[3] = "wc2.1_30s_prec_11";  // twice
    EXPECT_THAT(months_in_names(names), Optional(IsEmpty()));
    EXPECT_THAT(months_in_names({}), Optional(IsEmpty()));
}

}  // namespace
}  // namespace eaveshed
