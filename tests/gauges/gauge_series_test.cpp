#include "eaveshed/gauges/gauge_series.hpp"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "support/expect_error.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using ::testing::ElementsAre;
using testing::expect_input_error;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using testing::TempFolder;

class GaugeSeriesTest : public ::testing::Test {
protected:
    GaugeRows rows(const std::string& text, bool mean_year = false) {
        return read_gauge_rows({.setting = "rain.source", .columns_setting = "rain.columns", .mean_year = mean_year},
                               m_folder.write("t.csv", text), m_findings);
    }
    GaugeSeries series(const std::string& text, RainKind kind, const std::string& calendar = "") {
        m_findings = {};
        return series_in_steps(rows(text, kind == RainKind::monthly_normals), kind, calendar, Season{}, m_findings);
    }
    TempFolder m_folder;
    Findings m_findings;
};

// Days from the first of `first_year` to the last of `last_year`, without those that `skip` says.
template <typename Skip>
std::string days_of(int first_year, int last_year, Calendar calendar, Skip skip) {
    std::string text = "date,rain_mm\n";
    for (std::int64_t day = day_number(calendar, {first_year, 1, 1}); day < day_number(calendar, {last_year + 1, 1, 1});
         ++day) {
        const Date date = date_of(calendar, day);
        if (!skip(date)) {
            text += fmt::format("{:04}-{:02}-{:02},{}\n", date.year, date.month, date.day, date.day);
        }
    }
    return text;
}
constexpr auto kNone = [](const Date&) { return false; };

TEST_F(GaugeSeriesTest, RunsFromTheFirstToTheLastDateAndLeavesOutDaysMissing) {
    const auto skip = [](const Date& date) { return date == Date{1991, 5, 7}; };
    const GaugeSeries found = series(days_of(1990, 1992, Calendar::standard, skip), RainKind::daily);
    EXPECT_EQ(found.timeline.steps.size(), 365U + 365U + 366U);
    EXPECT_EQ(found.timeline.first, (Date{1990, 1, 1}));
    EXPECT_EQ(found.timeline.years.size(), 2U);
    const std::size_t left_out = 365 + 31 + 28 + 31 + 30 + 6;
    ASSERT_EQ(found.values.size(), 1U);
    EXPECT_TRUE(std::isnan(found.values[0][left_out]));
    EXPECT_EQ(found.values[0][left_out + 1], 8.0);
    EXPECT_EQ(std::ranges::count_if(found.values[0], [](double v) { return std::isnan(v); }), 1);
}

TEST_F(GaugeSeriesTest, NeedsNoOrderOfItsLines) {
    const std::string in_order = days_of(1990, 1991, Calendar::standard, kNone);
    std::string header;
    std::vector<std::string> lines;
    std::istringstream in(in_order);
    std::getline(in, header);
    for (std::string line; std::getline(in, line);) {
        lines.insert(lines.begin(), line);
    }
    std::string turned = header + "\n";
    for (const std::string& line : lines) {
        turned += line + "\n";
    }
    EXPECT_EQ(series(turned, RainKind::daily).values, series(in_order, RainKind::daily).values);
}

TEST_F(GaugeSeriesTest, ARecordThatNeverHasALeapDayIsOneWithoutLeapDays) {
    const GaugeSeries found = series(days_of(1987, 1993, Calendar::noleap, kNone), RainKind::daily);
    EXPECT_EQ(found.timeline.calendar, Calendar::noleap);
    EXPECT_EQ(found.timeline.steps.size(), 7U * 365U);
    EXPECT_THAT(found.values[0], ::testing::Not(::testing::Contains(::testing::IsNan())));
    ASSERT_THAT(m_findings.list(), ::testing::SizeIs(1));
    EXPECT_THAT(to_text(m_findings.list()[0].trouble), HasSubstr("no 29 February in any of 2 leap years"));
    // The setting wins: then they are days without a value.
    const GaugeSeries standard = series(days_of(1987, 1993, Calendar::noleap, kNone), RainKind::daily, "standard");
    EXPECT_EQ(standard.timeline.calendar, Calendar::standard);
    EXPECT_EQ(std::ranges::count_if(standard.values[0], [](double v) { return std::isnan(v); }), 2);
}

TEST_F(GaugeSeriesTest, OneLeapDayLeftOutIsAMissingDay) {
    const auto skip = [](const Date& date) { return date == Date{1992, 2, 29}; };
    EXPECT_EQ(series(days_of(1991, 1993, Calendar::standard, skip), RainKind::daily).timeline.calendar,
              Calendar::standard);
    const auto skip_one = [](const Date& date) { return date == Date{1988, 2, 29}; };
    EXPECT_EQ(series(days_of(1987, 1993, Calendar::standard, skip_one), RainKind::daily).timeline.calendar,
              Calendar::standard);
    EXPECT_THAT(m_findings.list(), IsEmpty());
}

TEST_F(GaugeSeriesTest, AThirtiethOfFebruaryTellsACalendarOf360Days) {
    const GaugeSeries found = series(days_of(1990, 1992, Calendar::days_360, kNone), RainKind::daily);
    EXPECT_EQ(found.timeline.calendar, Calendar::days_360);
    EXPECT_EQ(found.timeline.steps.size(), 3U * 360U);
}

std::string months_of(int years, const char* day) {
    std::string text = "date,rain_mm\n";
    for (int month = 0; month < 12 * years; ++month) {
        text += fmt::format("{:04}-{:02}{},{}\n", 1990 + month / 12, month % 12 + 1, day, month);
    }
    return text;
}

TEST_F(GaugeSeriesTest, MonthsMayBeWrittenAsMonthsOrAsAnyDayOfThem) {
    const GaugeSeries months = series(months_of(3, ""), RainKind::monthly);
    EXPECT_EQ(months.timeline.steps.size(), 36U);
    EXPECT_EQ(months.values[0][35], 35.0);
    EXPECT_EQ(series(months_of(3, "-01"), RainKind::monthly).values, months.values);
    EXPECT_EQ(series(months_of(3, "-28"), RainKind::monthly).values, months.values);
}

TEST_F(GaugeSeriesTest, AMeanYearHasEachMonthOnceInTheOrderOfTheTankYear) {
    std::string text = "month,rain_mm\n";
    for (int month = 1; month <= 12; ++month) {
        text += fmt::format("{},{}\n", month, 10 * month);
    }
    const GaugeSeries found = series(text, RainKind::monthly_normals);
    ASSERT_EQ(found.timeline.steps.size(), 12U);
    for (std::size_t step = 0; step < 12; ++step) {
        EXPECT_EQ(found.values[0][step], 10.0 * found.timeline.steps[step].month);
    }
    expect_input_error([&] { (void)series("month,rain_mm\n1,5\n2,6\n", RainKind::monthly_normals); },
                       {"no line for month 3", "twelve lines"});
}

TEST_F(GaugeSeriesTest, AnotherKindThanTheTablesIsToldWithTheRightOne) {
    expect_input_error([&] { (void)series(days_of(1990, 1992, Calendar::standard, kNone), RainKind::monthly_normals); },
                       {"1096 lines of days", "set rain.kind = \"daily\""});
    expect_input_error([&] { (void)series(days_of(1990, 1992, Calendar::standard, kNone), RainKind::monthly); },
                       {"set rain.kind = \"daily\""});
    expect_input_error([&] { (void)series(months_of(3, ""), RainKind::monthly_normals); },
                       {"36 lines of months", "set rain.kind = \"monthly\""});
    expect_input_error([&] { (void)series(months_of(3, ""), RainKind::daily); },
                       {"line 2", "1990-01 without a day", "set rain.kind = \"monthly\""});
    expect_input_error([&] { (void)series(months_of(3, "-01"), RainKind::daily); }, {"set rain.kind = \"monthly\""});
    expect_input_error([&] { (void)series(months_of(1, ""), RainKind::monthly); }, {"one complete tank year"});
}

TEST_F(GaugeSeriesTest, ADateTwiceIsRefusedWithBothLines) {
    const std::string days = days_of(1990, 1991, Calendar::standard, kNone);
    expect_input_error([&] { (void)series(days + "1990-01-02,5\n", RainKind::daily); },
                       {"line 732", "1990-01-02 a second time", "it stands in line 3"});
    std::string both = "date,station,rain_mm\n";
    for (int month = 0; month < 24; ++month) {
        for (const char* const id : {"A", "B"}) {
            both += fmt::format("{:04}-{:02},{},1\n", 1990 + month / 12, month % 12 + 1, id);
        }
    }
    EXPECT_EQ(series(both, RainKind::monthly).values.size(), 2U);
    expect_input_error([&] { (void)series(both + "1990-03,B,1\n", RainKind::monthly); },
                       {"line 50", "for station 'B'", "line 7"});
}

TEST_F(GaugeSeriesTest, ADateThatTheCalendarDoesNotHaveIsRefused) {
    expect_input_error(
        [&] { (void)series(days_of(1990, 1991, Calendar::standard, kNone) + "1992-02-31,5\n", RainKind::daily); },
        {"line 732", "1992-02-31", "standard calendar"});
    expect_input_error([&] { (void)series(days_of(1990, 1993, Calendar::standard, kNone), RainKind::daily, "noleap"); },
                       {"1992-02-29", "noleap calendar"});
}

TEST_F(GaugeSeriesTest, MeansOfMonthsAreOverTheWholeRecord) {
    const std::vector<MonthMeans> means =
        month_means(rows("date,rain_mm\n1990-01-01,1\n1990-01-02,3\n1991-01-05,8\n1990-02-01,7\n1990-02-02,\n"));
    ASSERT_EQ(means.size(), 1U);
    EXPECT_EQ(means[0][0], 4.0);
    EXPECT_EQ(means[0][1], 7.0);
    EXPECT_TRUE(std::isnan(means[0][2]));
}

}  // namespace
}  // namespace eaveshed
