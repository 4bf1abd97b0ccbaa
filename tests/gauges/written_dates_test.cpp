#include "eaveshed/gauges/written_dates.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/expect_error.hpp"

namespace eaveshed {
namespace {

using testing::expect_input_error;

std::string shown(const char* text) {
    const auto date = written_date(text);
    if (!date) {
        return "none";
    }
    if (date->open()) {
        return std::to_string(date->first) + "?" + std::to_string(date->second) + " " + std::to_string(date->year);
    }
    return std::to_string(date->year) + " " + std::to_string(date->month) + " " +
           (date->day ? std::to_string(*date->day) : std::string("-"));
}

TEST(WrittenDate, IsReadInTheUsualSpellings) {
    for (const char* const text : {"1990-03-14", "1990/3/14", "1990.03.14", "19900314", "14.03.1990", "14.3.1990",
                                   "14-Mar-1990", "14 March 1990", "Mar 14, 1990", "1990-Mar-14",
                                   "1990-03-14T00:00:00Z", "1990-03-14 07:30", "14-MAR-1990 8:00"}) {
        EXPECT_EQ(shown(text), "1990 3 14") << text;
    }
    for (const char* const text : {"1990-03", "199003", "3/1990", "Mar 1990", "March-1990", "1990 Mar", "03.1990"}) {
        EXPECT_EQ(shown(text), "1990 3 -") << text;
    }
    EXPECT_EQ(shown("3/14/1990"), "3?14 1990");
    EXPECT_EQ(shown("14/03/1990"), "14?3 1990");
    EXPECT_EQ(shown("4-5-1990 00:00"), "4?5 1990");
}

TEST(WrittenDate, PointsOfTheTimeOfDaySayNothingOfItsOrder) {
    EXPECT_EQ(shown("3/4/2001 07:00:00.0"), "3?4 2001");
    EXPECT_EQ(shown("3/4/2001 07.00"), "3?4 2001");
    EXPECT_EQ(shown("2001-03-04 07.00"), "2001 3 4");
    EXPECT_EQ(shown("20010304T7.30.15"), "2001 3 4");
    EXPECT_EQ(shown("04.03.2001 07.00"), "2001 3 4");
    EXPECT_EQ(shown("4. 3. 2001"), "2001 3 4");
    EXPECT_EQ(shown("2001 03.04"), "2001 3 4");
}

TEST(WrittenDate, IsNoneForEverythingElse) {
    for (const char* const text :
         {"", "mean", "1990", "14/03/90", "13/14/1990", "1990-13-01", "1990-00-10", "1990-03-32", "32946", "1.5",
          "12:30", "1990-03-14-15", "0/3/1990", "Foo 14 1990", "1990-03-14x"}) {
        EXPECT_EQ(shown(text), "none") << text;
    }
}

TEST(WrittenMonth, IsANumberOrAnEnglishName) {
    EXPECT_EQ(written_month("3"), 3);
    EXPECT_EQ(written_month("03"), 3);
    EXPECT_EQ(written_month("mar"), 3);
    EXPECT_EQ(written_month("Sept."), 9);
    EXPECT_EQ(written_month("September"), 9);
    for (const char* const text : {"", "0", "13", "ma", "marx", "1.5", "003"}) {
        EXPECT_FALSE(written_month(text)) << text;
    }
}

std::vector<DateAtLine> dates_of(const std::vector<const char*>& texts) {
    std::vector<DateAtLine> dates;
    for (std::size_t i = 0; i < texts.size(); ++i) {
        dates.push_back({written_date(texts[i]).value(), i + 2});
    }
    return dates;
}

std::string settled(const std::vector<const char*>& texts, DateOrder order = DateOrder::from_data,
                    bool months = false) {
    std::vector<DateAtLine> dates = dates_of(texts);
    (void)settle_order(dates, order, months, "t.csv", "rain.date_order");
    std::string all;
    for (const auto& [date, line] : dates) {
        all += std::to_string(date.month) + "-" + std::to_string(date.day.value_or(0)) + " ";
    }
    return all;
}

TEST(DateOrderOfATable, IsSettledByANumberOverTwelve) {
    EXPECT_EQ(settled({"1/2/1990", "2/2/1990", "13/2/1990"}), "2-1 2-2 2-13 ");
    EXPECT_EQ(settled({"1/2/1990", "2/2/1990", "2/13/1990"}), "1-2 2-2 2-13 ");
    EXPECT_EQ(settled({"1990-02-01", "2.2.1990"}), "2-1 2-2 ");
}

TEST(DateOrderOfATable, OfMonthsIsSettledByTheNumberThatIsAlwaysOne) {
    EXPECT_EQ(settled({"1/1/1990", "1/2/1990", "1/3/1990"}, DateOrder::from_data, true), "1-1 2-1 3-1 ");
    EXPECT_EQ(settled({"1/1/1990", "2/1/1990", "3/1/1990"}, DateOrder::from_data, true), "1-1 2-1 3-1 ");
}

TEST(DateOrderOfATable, IsSettledByTheSettingWhereTheDataAreSilent) {
    EXPECT_EQ(settled({"1/2/1990", "2/2/1990"}, DateOrder::day_month), "2-1 2-2 ");
    EXPECT_EQ(settled({"1/2/1990", "2/2/1990"}, DateOrder::month_day), "1-2 2-2 ");
}

TEST(DateOrderOfATable, IsAskedForWhereNothingSettlesIt) {
    expect_input_error(
        [] {
            (void)settled({"1/2/1990", "2/2/1990"});
        },
        {"t.csv, line 2", "no number in them is over 12", "set rain.date_order", "month-day"});
}

TEST(DateOrderOfATable, ThatContradictsItselfOrTheSettingIsRefused) {
    expect_input_error(
        [] {
            (void)settled({"1/2/1990", "13/2/1990", "2/13/1990"});
        },
        {"day first in line 3", "month first in line 4"});
    expect_input_error(
        [] {
            (void)settled({"1/2/1990", "13/2/1990"}, DateOrder::month_day);
        },
        {"line 3", "day-month", "rain.date_order = \"month-day\"", "leave the setting out"});
}

}  // namespace
}  // namespace eaveshed
