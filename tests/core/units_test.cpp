#include "eaveshed/core/units.hpp"

#include <gtest/gtest.h>

#include <set>
#include <string>

#include "eaveshed/core/constants.hpp"

namespace eaveshed {
namespace {

double converted(std::string_view text, std::string_view unit) {
    const auto value = in_unit(text, *find_unit(unit));
    EXPECT_TRUE(value) << text << " in " << unit;
    return value.value_or(-1.0);
}

constexpr double kRelative = 1e-15;

void expect_close(double value, double expected, double relative = 4 * kRelative) {
    EXPECT_NEAR(value, expected, expected * relative);
}

// R1.1: derived, 1 gal = 231 in3: one inch on one square foot is 144/231 gallons.
TEST(Units, GiveTheGallonsOfAnInchOnASquareFoot) {
    expect_close(converted("1 in", "m") * converted("1 ft2", "m2") / converted("1 gal", "m3"), 144.0 / 231.0);
}

// R1.2: derived: one millimetre on one square metre is one litre.
TEST(Units, GiveTheLitreOfAMillimetreOnASquareMetre) {
    expect_close(converted("1 mm", "m") * converted("1 m2", "m2") / converted("1 L", "m3"), 1.0);
}

// R4.8: California's indoor standard 47 gal = 177.91 L; US average 2015 82 gal = 310.4 L (CalWEP; USGS OFR 2017-1131).
TEST(Units, GiveThePublishedLitresOfDailyUse) {
    EXPECT_NEAR(converted("47 gal", "L"), 177.91, 0.005);
    EXPECT_NEAR(converted("82 gal", "L"), 310.4, 0.05);
}

// R4.9: derived: 4 people x 55 gal x 92 days = 20,240 gal = 76.617 m3.
TEST(Units, GiveTheSeasonUseOfAHousehold) {
    EXPECT_NEAR(converted("20240 gal", "m3"), 76.617, 0.0005);
}

// R5.1: derived, 1000 kg/m3: 1 m of water = 9.80665 kPa = 1.4223343 psi; 1 psi = 2.30666 ft.
TEST(Units, GiveThePressureOfWater) {
    EXPECT_NEAR(kKpaPerMetre / converted("1 psi", "kPa"), 1.4223343, 5e-8);
    EXPECT_NEAR(converted("1 psi", "kPa") / kKpaPerMetre / converted("1 ft", "m"), 2.30666, 5e-6);
}

// R5.10: derived, rational method: 1,408 ft2 at 2 in/h = 0.065185 cfs = 29.26 gpm; 1 gpm = 1 in/h on 96.25 ft2.
TEST(Units, GiveTheFlowOfAStormOnARoof) {
    const double flow_m3_s = converted("1408 ft2", "m2") * converted("2 in/h", "mm/h") / 1000.0 / 3600.0;
    EXPECT_NEAR(flow_m3_s / converted("1 cfs", "m3/s"), 0.065185, 5e-7);
    EXPECT_NEAR(flow_m3_s / converted("1 gpm", "m3/s"), 29.26, 0.005);
    expect_close(converted("96.25 ft2", "m2") * converted("1 in/h", "mm/h") / 3600.0, converted("1 gpm", "L/s"));
}

// R7.10: exact: US survey foot 1200/3937 m, international foot 0.3048 m.
TEST(Units, GiveBothFeetExactly) {
    EXPECT_EQ(converted("1 us-ft", "m"), 1200.0 / 3937.0);
    EXPECT_EQ(converted("1 ft", "m"), 0.3048);
}

// R9.1: exact: 1 acre-foot; 1 cfs in gpm and gallons a day; 1 gpm in L/s.
TEST(Units, GiveThePlannersUnitsExactly) {
    expect_close(converted("1 acre-ft", "m3"), 1233.48183754752);
    expect_close(converted("1 kgal", "m3"), 3.785411784);
    EXPECT_NEAR(converted("1 cfs", "gpm"), 448.831168831, 5e-10);
    EXPECT_NEAR(converted("1 cfs", "gal/day"), 646316.883, 5e-4);
    EXPECT_NEAR(converted("1 gpm", "L/s"), 0.0630901964, 5e-11);
}

// R9.2: derived: 5,000 gal over 92 days = 54.348 gal/day = 0.037742 gpm = 0.002381 L/s.
TEST(Units, GiveTheFlowOfATankOverASeason) {
    EXPECT_NEAR(converted("54.348 gpd", "gpm"), 0.037742, 5e-7);
    EXPECT_NEAR(converted("54.348 gpd", "L/s"), 0.002381, 5e-7);
}

TEST(Units, ConvertWithinEveryDimensionAndBack) {
    for (const Unit& from : units()) {
        for (const Unit& to : units()) {
            const auto value = in_unit("3 " + std::string(from.name()), to);
            ASSERT_EQ(value.has_value(), from.dimension == to.dimension) << from.name() << " in " << to.name();
            if (value) {
                expect_close(*value * to.factor, 3.0 * from.factor);
            }
        }
    }
}

TEST(Units, KeepANumberInItsOwnUnitAsItIs) {
    for (const Unit& unit : units()) {
        EXPECT_EQ(in_unit("0.1 " + std::string(unit.name()), unit), 0.1) << unit.name();
    }
}

TEST(Units, HaveNamesThatMeanOneThing) {
    std::set<std::string> seen;
    for (const Unit& unit : units()) {
        EXPECT_GT(unit.factor, 0.0);
        EXPECT_FALSE(unit.meaning.empty());
        for (const std::string_view name : unit.names) {
            if (!name.empty()) {
                EXPECT_EQ(find_unit(name), &unit) << name;
                EXPECT_TRUE(seen.emplace(name).second) << name;
            }
        }
    }
}

TEST(Units, AreReadWithBlanksAndInAnyCase) {
    const Unit& metre = *find_unit("m");
    EXPECT_EQ(in_unit("200ft", metre), in_unit("  200   FT\t", metre));
    EXPECT_EQ(in_unit("2.5e1 m", metre), 25.0);
    EXPECT_EQ(in_unit("-3 m", metre), -3.0);
    expect_close(converted("2 Acre-Feet", "m3"), 2 * 1233.48183754752);
    expect_close(converted("1 sq ft", "m2"), 0.09290304);
}

// In a cell of data a number alone is in the unit that is stated for it.
TEST(Units, OfACellAreItsOwnElseTheStatedOne) {
    const Unit& m3 = *find_unit("m3");
    const Unit& gal = *find_unit("gal");
    EXPECT_EQ(in_unit(" 5\r\n", m3, m3), 5.0);
    expect_close(in_unit("250000", m3, gal).value(), 946.352946);
    expect_close(in_unit("250000 gal", m3, m3).value(), 946.352946);
    EXPECT_EQ(in_unit("2 m3", m3, gal), 2.0);
    for (const std::string_view text : {"", " ", "five", "5 ft", "1,000", "1e999", "1e308 acre-ft", "5 5"}) {
        EXPECT_FALSE(in_unit(text, gal, m3)) << text;
    }
    EXPECT_FALSE(in_unit("1e308", gal, *find_unit("acre-ft")));
}

TEST(Units, OfADimensionAreListedByTheirFirstNames) {
    EXPECT_EQ(unit_names(Dimension::volume), "m3, L, gal, kgal, ft3, acre-ft");
}

TEST(Units, RefuseWhatIsNoQuantity) {
    const Unit& metre = *find_unit("m");
    for (const std::string_view text :
         {"", " ", "m", "ft 3", "3", "3 feets", "3 gal", "5,000 ft", "1 000 m", "3 m m", "+3 m", "nan m", "inf m",
          "1e400 m", "1e308 km", "3/8 in", "0x10 m", "3 ft 4 in", "--3 m"}) {
        EXPECT_FALSE(in_unit(text, metre)) << text;
    }
    EXPECT_EQ(find_unit(""), nullptr);
    EXPECT_EQ(find_unit("furlong"), nullptr);
}

}  // namespace
}  // namespace eaveshed
