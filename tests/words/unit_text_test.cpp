#include "eaveshed/words/unit_text.hpp"

#include <gtest/gtest.h>

namespace eaveshed {

// So that a failing comparison prints the settings' own word.
static void PrintTo(RainUnit unit, std::ostream* out) {
    *out << to_text(unit);
}

namespace {

TEST(UnitText, RainUnitsAreUnderstoodHoweverTheyAreWritten) {
    struct Case {
        const char* text;
        RainUnit unit;
        PerStep per = PerStep::any;
    };
    for (const Case& entry : {
             Case{"mm", RainUnit::mm},
             Case{" Millimetres ", RainUnit::mm},
             Case{"kg m-2", RainUnit::mm},
             Case{"kg/m^2", RainUnit::mm},
             Case{"kg m**-2", RainUnit::mm},
             Case{"cm", RainUnit::cm},
             Case{"m", RainUnit::m},
             Case{"m of water equivalent", RainUnit::m},
             Case{"inches", RainUnit::inch},
             Case{"mm/month", RainUnit::mm, PerStep::month},
             Case{"mm month-1", RainUnit::mm, PerStep::month},
             Case{"cm per month", RainUnit::cm, PerStep::month},
             Case{"in/day", RainUnit::inch, PerStep::day},
             Case{"mm/day", RainUnit::mm_per_day},
             Case{"mm day^-1", RainUnit::mm_per_day},
             Case{"mm.d-1", RainUnit::mm_per_day},
             Case{"m day-1", RainUnit::m_per_day},
             Case{"kg m-2 s-1", RainUnit::kg_per_m2_s},
             Case{"kg/m2/s", RainUnit::kg_per_m2_s},
             Case{"s-1 kg m-2", RainUnit::kg_per_m2_s},
             Case{"mm s-1", RainUnit::kg_per_m2_s},
             Case{"m s-1", RainUnit::m_per_s},
             Case{"m/s", RainUnit::m_per_s},
             Case{"mm/h", RainUnit::mm_per_hour},
             Case{"mm hr-1", RainUnit::mm_per_hour},
             Case{"kg m-2 h-1", RainUnit::mm_per_hour},
             Case{"0.1 mm", RainUnit::tenth_mm},
             Case{"1e-1 mm", RainUnit::tenth_mm},
             Case{"tenths of mm", RainUnit::tenth_mm},
             Case{"tenths_of_a_millimeter", RainUnit::tenth_mm},
             Case{"mm/10", RainUnit::tenth_mm},
             Case{"1e-4 m", RainUnit::tenth_mm},
         }) {
        const auto found = rain_unit_from_text(entry.text);
        ASSERT_TRUE(found) << entry.text;
        EXPECT_EQ(found->unit, entry.unit) << entry.text;
        EXPECT_EQ(found->per, entry.per) << entry.text;
    }
}

TEST(UnitText, OtherRainUnitsAreNotGuessed) {
    for (const char* const text :
         {"", " ", "mm/3hr", "mm/year", "0.1 cm", "0.1 mm/day", "10 mm", "tenths", "m2", "kg", "K", "dBZ", "1",
          "mm/day/day", "m99999999999999999999", "mm-2147483648", "\xC2\xB5m", "of water"}) {
        EXPECT_FALSE(rain_unit_from_text(text)) << text;
    }
}

// R7.10: international foot 0.3048 m, US survey foot 1200/3937 m (exact).
TEST(UnitText, LengthsOfHeights) {
    EXPECT_EQ(length_unit_from_text("metre")->metres, 1.0);
    EXPECT_EQ(length_unit_from_text("M")->metres, 1.0);
    EXPECT_EQ(length_unit_from_text("ft")->metres, 0.3048);
    EXPECT_TRUE(length_unit_from_text("foot")->loose);
    EXPECT_EQ(length_unit_from_text("US survey foot")->metres, 1200.0 / 3937.0);
    EXPECT_FALSE(length_unit_from_text("ftUS")->loose);
    EXPECT_EQ(length_unit_from_text("cm")->metres, 0.01);
    EXPECT_FALSE(length_unit_from_text(""));
    EXPECT_FALSE(length_unit_from_text("fathom"));
    EXPECT_FALSE(length_unit_from_text("degree"));
}

TEST(UnitText, Temperatures) {
    for (const char* const text : {"degC", "Celsius",
                                   "\xC2\xB0"
                                   "C",
                                   "degrees C", "degree_Celsius"}) {
        EXPECT_EQ(temperature_unit_from_text(text), TemperatureUnit::celsius) << text;
    }
    EXPECT_EQ(temperature_unit_from_text("K"), TemperatureUnit::kelvin);
    EXPECT_FALSE(temperature_unit_from_text("degF"));
    EXPECT_FALSE(temperature_unit_from_text(""));
}

}  // namespace
}  // namespace eaveshed
