// Names of columns as agencies and spreadsheets write them: common practice.
#include "eaveshed/gauges/column_names.hpp"

#include <gtest/gtest.h>

namespace eaveshed {
namespace {

struct Named {
    const char* name;
    const char* base;
    const char* unit;
    ColumnRole role;
};

TEST(ColumnNames, SayWhatTheyHoldAndInWhichUnit) {
    const Named names[] = {{"precip_mm", "precip", "mm", ColumnRole::rain},
                           {"Rain (mm)", "Rain", "mm", ColumnRole::rain},
                           {"rain [in]", "rain", "in", ColumnRole::rain},
                           {"Rain (North)", "Rain", "", ColumnRole::rain},
                           {"precip_mm_day", "precip", "mm day-1", ColumnRole::rain},
                           {"mm", "mm", "mm", ColumnRole::unknown},
                           {"Date (local)", "Date", "", ColumnRole::date},
                           {"YEAR", "YEAR", "", ColumnRole::year},
                           {"mo", "mo", "", ColumnRole::month},
                           {"Station ID", "Station ID", "", ColumnRole::station},
                           {"TMIN_C", "TMIN", "C", ColumnRole::minimum},
                           {"tmax (degF)", "tmax", "degF", ColumnRole::maximum},
                           {"checked_in", "checked_in", "", ColumnRole::unknown}};
    for (const Named& expected : names) {
        const ColumnName found = column_name(expected.name);
        EXPECT_EQ(found.name, expected.name);
        EXPECT_EQ(found.base, expected.base) << expected.name;
        EXPECT_EQ(found.unit, expected.unit) << expected.name;
        EXPECT_EQ(found.role, expected.role) << expected.name;
    }
}

TEST(ColumnNames, DegreesAreKnownHoweverTheyAreWritten) {
    for (const char* const text : {"C", "degC",
                                   "\xC2\xB0"
                                   "C"}) {
        EXPECT_EQ(gauge_temperature_unit(text), GaugeTemperatureUnit::celsius) << text;
    }
    for (const char* const text : {"F", "deg F", "Fahrenheit"}) {
        EXPECT_EQ(gauge_temperature_unit(text), GaugeTemperatureUnit::fahrenheit) << text;
    }
    EXPECT_EQ(gauge_temperature_unit("K"), GaugeTemperatureUnit::kelvin);
    for (const char* const text : {"", "mm", "North"}) {
        EXPECT_FALSE(gauge_temperature_unit(text)) << text;
    }
}

TEST(ColumnNames, AreEqualByLettersAndDigits) {
    EXPECT_EQ(plain_name("Station ID"), plain_name("station_id"));
    EXPECT_EQ(plain_name("T-min 2"), "tmin2");
    EXPECT_NE(plain_name("station1"), plain_name("station2"));
}

}  // namespace
}  // namespace eaveshed
