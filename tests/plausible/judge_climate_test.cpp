// At each bound nothing is told, just beyond it the check is.
#include "eaveshed/plausible/judge_climate.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <string>
#include <vector>

namespace eaveshed {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;

Season winter() {
    const auto months = [](const std::vector<int>& list) { return MonthSet(list); };
    return {.fill = months({11, 12, 1, 2, 3, 4, 5}),
            .forbear = months({8, 9, 10}),
            .draw = months({8, 9, 10}),
            .first_month = 11};
}

// Rain that falls evenly: as many mm as a month has days.
MonthDepths even() {
    MonthDepths depths{};
    for (int month = 1; month <= 12; ++month) {
        depths.at(static_cast<std::size_t>(month - 1)) = mean_year_days(month);
    }
    return depths;
}

// A basin of which nothing is told: a record of 1990-11 to 2020-10, with files written in 2024.
class JudgeClimate : public ::testing::Test {
protected:
    void SetUp() override {
        m_climate.rain = "rain";
        m_climate.timeline = &m_timeline;
        m_climate.mean_mm = even();
        m_climate.newest_input = Date{2024, 6, 1};
    }
    [[nodiscard]] std::vector<std::string> told() const {
        Findings findings;
        judge_climate(m_climate, winter(), findings);
        std::vector<std::string> codes;
        for (const Finding& finding : findings.list()) {
            codes.emplace_back(to_text(finding.code.value()));
        }
        return codes;
    }
    // Nothing at the bound, the check a little beyond it.
    void expect_bound(const std::string& code, double bound, double beyond, const std::function<void(double)>& set) {
        set(bound);
        EXPECT_THAT(told(), IsEmpty()) << code << " at " << bound;
        set(beyond);
        EXPECT_THAT(told(), ElementsAre(code)) << beyond;
        set(bound);
    }

    Timeline m_timeline = make_series_timeline(RainKind::monthly, Calendar::standard, {1990, 11, 1}, 360, winter());
    JudgedClimate m_climate;
};

TEST_F(JudgeClimate, RainOfTheYearHasALeastAndAMost) {
    const auto year = [&](double mm) {
        MonthDepths depths{};
        depths[0] = mm;
        m_climate.mean_mm = depths;
    };
    expect_bound("rain_total", 150.0, std::nextafter(150.0, 0.0), year);
    expect_bound("rain_total", 5000.0, std::nextafter(5000.0, 1e9), year);
}

TEST_F(JudgeClimate, FillMonthsAreAsWetAsTheRestOfTheYear) {
    expect_bound("rain_season", 31.0, 30.999, [&](double january) { m_climate.mean_mm->at(0) = january; });
}

TEST_F(JudgeClimate, TheWettestMonthIsNoForbearanceMonth) {
    m_climate.mean_mm->at(0) = 60.0;
    m_climate.mean_mm->at(1) = 59.0;
    // The first of two that are as wet counts.
    expect_bound("rain_season", 60.0, 60.001, [&](double august) { m_climate.mean_mm->at(7) = august; });
}

TEST_F(JudgeClimate, ARecordEndsBeforeItsFilesWereWrittenAndNotTooLongAgo) {
    m_climate.newest_input = Date{2020, 10, 31};
    EXPECT_THAT(told(), IsEmpty());
    m_climate.newest_input = Date{2020, 10, 30};
    EXPECT_THAT(told(), ElementsAre("rain_future"));
    m_climate.newest_input = Date{2050, 10, 1};
    EXPECT_THAT(told(), IsEmpty());
    m_climate.newest_input = Date{2050, 11, 1};
    EXPECT_THAT(told(), ElementsAre("rain_old"));
    m_timeline = make_normals_timeline(winter());
    EXPECT_THAT(told(), IsEmpty()) << "normals have no dates";
}

TEST_F(JudgeClimate, EvapotranspirationOfAYearHasALeastAndAMost) {
    const auto year = [&](double mm) { m_climate.et0_year_mm = mm; };
    expect_bound("et0_year", 300.0, std::nextafter(300.0, 0.0), year);
    expect_bound("et0_year", 3000.0, std::nextafter(3000.0, 1e9), year);
}

TEST_F(JudgeClimate, SnowAndFrostBeginBelowZeroInAFillMonth) {
    std::array<double, 12> degrees{};
    degrees.fill(5.0);
    m_climate.minimum_c = degrees;
    m_climate.maximum_c = degrees;
    expect_bound("frost_months", 0.0, -0.01, [&](double minimum) { m_climate.minimum_c->at(0) = minimum; });
    // Frost is not told beside snow.
    m_climate.minimum_c->at(0) = -5.0;
    m_climate.maximum_c->at(0) = 5.0;
    EXPECT_THAT(told(), ElementsAre("frost_months")) << "a mean of 0";
    m_climate.maximum_c->at(0) = 4.99;
    EXPECT_THAT(told(), ElementsAre("snow_months"));
    m_climate.minimum_c = degrees;
    m_climate.minimum_c->at(6) = -5.0;  // July is no fill month
    EXPECT_THAT(told(), IsEmpty());
}

}  // namespace
}  // namespace eaveshed
