#include "eaveshed/climate/rain_rules.hpp"

#include <array>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/expect_error.hpp"

namespace eaveshed {
namespace {

using ::testing::Contains;
using testing::expect_input_error;
using ::testing::HasSubstr;

RainSettings settings(RainKind kind, RainUnit unit = RainUnit::from_file) {
    RainSettings rain;
    rain.kind = kind;
    rain.unit = unit;
    return rain;
}

TEST(RainUnitRule, TheFileSaysItElseTheSettings) {
    EXPECT_EQ(rain_unit("r", "kg m-2 s-1", settings(RainKind::monthly)), RainUnit::kg_per_m2_s);
    EXPECT_EQ(rain_unit("r", "", settings(RainKind::monthly, RainUnit::inch)), RainUnit::inch);
    EXPECT_EQ(rain_unit("r", "mm/day", settings(RainKind::daily, RainUnit::mm)), RainUnit::mm_per_day);
    expect_input_error([] { (void)rain_unit("r", "", settings(RainKind::monthly)); }, {"no unit", "rain.unit"});
    expect_input_error([] { (void)rain_unit("r", "mm", settings(RainKind::monthly, RainUnit::inch)); },
                       {"\"mm\" in the file", "rain.unit = \"in\""});
    expect_input_error([] { (void)rain_unit("r", "mm month-1", settings(RainKind::daily)); }, {"steps of a day"});
}

TEST(TankYearRule, ARecordNeedsAWholeOne) {
    constexpr std::array kForbear{8, 9, 10};
    const MonthSet forbear(kForbear);
    const Season season{.fill = {}, .forbear = forbear, .draw = forbear, .first_month = 11};
    const auto record = [&](std::size_t months) {
        return make_series_timeline(RainKind::monthly, Calendar::standard, {1990, 11, 1}, months, season);
    };
    EXPECT_NO_THROW(require_tank_year("r", record(12), season));
    EXPECT_NO_THROW(require_tank_year("r", make_normals_timeline(season), season));
    expect_input_error([&] { require_tank_year("r", record(11), season); },
                       {"r", "11 steps from 1990-11-01 on", "the first day of month 11"});
}

std::string told(const RainSeen& rain) {
    Findings findings;
    warn_of_odd_rain(rain, findings);
    std::string text;
    for (const Finding& finding : findings.list()) {
        text += finding_line(finding) + "\n";
    }
    return text;
}

TEST(OddRain, IsToldOfDaysMonthsAndYears) {
    EXPECT_EQ(told({.where = "r", .most_mm = 400.0, .year_mm = 900.0}), "");
    EXPECT_EQ(told({.where = "r", .most_mm = 400.0}), "");
    EXPECT_EQ(told({.where = "r", .most_mm = 2000.0, .year_mm = 900.0}), "");  // a month of it is no record
    EXPECT_THAT(told({.where = "r", .place = " at 'A'", .daily = true, .most_mm = 2000.0, .year_mm = 900.0}),
                HasSubstr("a day of 2000 mm at 'A', read as \"mm\""));
    EXPECT_THAT(told({.where = "r", .most_mm = 2900.0, .year_mm = 21000.0}), HasSubstr("21000 mm in a mean year"));
    EXPECT_THAT(told({.where = "r", .unit = RainUnit::m, .most_mm = 0.2, .year_mm = 0.9}),
                HasSubstr("0.900 mm in a mean year, read as \"m\""));
}

TEST(RainNames, AreThoseOfTheConventions) {
    EXPECT_THAT(rain_standard_names(), Contains("precipitation_flux"));
    EXPECT_THAT(rain_standard_names(), Contains("lwe_thickness_of_precipitation_amount"));
}

}  // namespace
}  // namespace eaveshed
