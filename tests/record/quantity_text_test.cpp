#include "eaveshed/record/quantity_text.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace eaveshed {
namespace {

TEST(QuantityText, KeepsSoManyFiguresAndNoExponent) {
    EXPECT_EQ(with_figures(1234.5, 3), "1230");
    EXPECT_EQ(with_figures(1236.0, 3), "1240");
    EXPECT_EQ(with_figures(0.04567, 3), "0.0457");
    EXPECT_EQ(with_figures(4.0, 3), "4.00");
    EXPECT_EQ(with_figures(9.996, 3), "10.0");
    EXPECT_EQ(with_figures(999.6, 3), "1000");
    EXPECT_EQ(with_figures(0.0099951, 3), "0.0100");
    EXPECT_EQ(with_figures(0.0, 3), "0");
    EXPECT_EQ(with_figures(4e-8, 3), "0");
    EXPECT_EQ(with_figures(-35.26, 3), "-35.3");
    EXPECT_EQ(with_figures(123456789.0, 2), "120000000");
}

TEST(QuantityText, ShowsSiAsItIs) {
    const QuantityText si(OutputUnits::si);
    EXPECT_EQ(si.text("m3", 37.85411784), "37.9 m3");
    EXPECT_EQ(si.text("L/s", 0.00447), "0.0045 L/s");
    EXPECT_EQ(si.entry("m3", 1234.4), "1234");
    EXPECT_EQ(si.entry("L/s", 0.31249), "0.312");
}

// US gallon of 231 in3: 3.785411784 L (NIST SP 811, appendix B.8).
TEST(QuantityText, ShowsUsUnitsWhereTheProjectAsksForThem) {
    const QuantityText us(OutputUnits::us);
    EXPECT_EQ(us.text("m3", 37.85411784), "10,000 gal");
    EXPECT_EQ(us.text("m", 3.048), "10.0 ft");
    EXPECT_EQ(us.text("L/s", 3.785411784 / 60.0), "1.0 gpm");
    EXPECT_EQ(us.entry("L/s", 3.785411784 / 60.0), "1.00");
    EXPECT_EQ(us.unit("kPa"), "psi");
    EXPECT_EQ(us.unit("%"), "%");
    EXPECT_EQ(us.text("days", 12.0), "12.0 days");
}

TEST(QuantityText, LongNumbersOfUsUnitsHaveCommas) {
    const QuantityText us(OutputUnits::us);
    EXPECT_EQ(us.entry("m3", 31138.6), "8,225,948");  // 31138.6 / 0.003785411784
    EXPECT_EQ(us.entry("m3", 3.0), "793");
    EXPECT_EQ(us.text("m3", 34.0), "8980 gal");
    EXPECT_EQ(us.text("m3", -340.0), "-89,800 gal");
    EXPECT_EQ(us.entry_change("m3", 0.0, 100.0), "+26,417");
    EXPECT_EQ(QuantityText(OutputUnits::si).entry("m3", 31138.6), "31139");
}

// The shipped catalogue: 500, 1500, 2500 and 5000 gal in rounded m3.
TEST(QuantityText, ATankOfTheCatalogueIsToldByItsRoundGallons) {
    const QuantityText us(OutputUnits::us);
    EXPECT_EQ(us.tank(1.9), "500");
    EXPECT_EQ(us.tank(5.7), "1500");
    EXPECT_EQ(us.tank(9.5), "2500");
    EXPECT_EQ(us.tank(18.9), "5000");
    EXPECT_EQ(us.tank(5.15), "1360");  // 1360.5 gal: 1400 is too far off
    EXPECT_EQ(us.tanks(94.5, 5), "5 x about 5000 gal");
    EXPECT_EQ(us.tanks(18.9, 1), "about 5000 gal");
    EXPECT_EQ(QuantityText(OutputUnits::si).tanks(94.5, 5), "5 x 18.9 m3");
    EXPECT_EQ(QuantityText(OutputUnits::si).tank(18.9), "18.9");
}

TEST(QuantityText, WhatIsNullIsNotKnownAndNeverZero) {
    for (const OutputUnits units : {OutputUnits::si, OutputUnits::us}) {
        const QuantityText text(units);
        EXPECT_EQ(text.number("m3", std::nullopt), "not known");
        EXPECT_EQ(text.text("m3", std::nullopt), "not known");
        EXPECT_EQ(text.entry("L/s", std::nullopt), "not known");
        EXPECT_EQ(text.number("m3", 0.0), "0");
    }
}

TEST(QuantityText, FollowedLineByLineShowsNoLessInUsUnitsThanInSi) {
    const QuantityText si(OutputUnits::si);
    const QuantityText us(OutputUnits::us);
    EXPECT_EQ(si.fixed("m3", 18.927, 1), "18.9 m3");
    EXPECT_EQ(us.fixed("m3", 18.927, 1), "5000 gal");
    EXPECT_EQ(us.fixed("m", 2.6, 2), "8.53 ft");
    EXPECT_EQ(us.fixed("kPa", 70.0, 1), "10.15 psi");
    EXPECT_EQ(us.fixed("mm", 720.0, 0), "28.35 in");
    EXPECT_EQ(us.fixed("L/s", 0.0123, 4), "0.195 gpm");
    EXPECT_EQ(us.fixed("deg", 12.34, 1), "12.3 deg");
    for (const char* const unit : {"m3", "m2", "m", "mm", "kPa", "L/s"}) {
        for (int decimals = 0; decimals < 5; ++decimals) {
            const double step = std::pow(10.0, -us.decimals(unit, decimals)) / us.shown(unit, 1.0);
            EXPECT_LE(step, std::pow(10.0, -decimals)) << unit << ' ' << decimals;
            EXPECT_EQ(si.decimals(unit, decimals), decimals);
        }
    }
}

TEST(QuantityText, OfASettingKeepsItsDigits) {
    const QuantityText si(OutputUnits::si);
    const QuantityText us(OutputUnits::us);
    EXPECT_EQ(si.plain("m", 60.0), "60 m");
    EXPECT_EQ(si.plain("%", 12.5), "12.5 %");
    EXPECT_EQ(us.plain("m", 60.96), "200 ft");
    EXPECT_EQ(us.plain("m", 1.524), "5 ft");
    EXPECT_EQ(us.plain("m3", 946.352946), "250,000 gal");
    EXPECT_EQ(us.plain("%", 12.5), "12.5 %");
}

TEST(QuantityText, APressureOfNothingOrLessIsNone) {
    const QuantityText si(OutputUnits::si);
    EXPECT_EQ(si.pressure(12.0), "12.0 kPa");
    EXPECT_EQ(si.pressure_number(12.0), "12.0");
    EXPECT_EQ(si.pressure(0.0), "none");
    EXPECT_EQ(si.pressure_number(-4.2), "none");
    EXPECT_EQ(si.pressure(std::nullopt), "not known");
    EXPECT_EQ(si.pressures(12.0, 40.0), "12.0 to 40.0 kPa");
    EXPECT_EQ(si.pressures(-1.0, 16.9), "up to 16.9 kPa");
    EXPECT_EQ(si.pressures(-9.0, 0.0), "none");
}

// A gallon is 3.785411784 L (NIST Handbook 44, appendix C): of 1000 a m3 3.79 a gallon.
TEST(QuantityText, APriceIsThatOfTheUnitThatIsShown) {
    EXPECT_EQ(QuantityText(OutputUnits::si).price_per("m3", 1000.0), 1000.0);
    EXPECT_NEAR(*QuantityText(OutputUnits::us).price_per("m3", 1000.0), 3.785411784, 1e-9);
    EXPECT_EQ(QuantityText(OutputUnits::us).price_per("m3", std::nullopt), std::nullopt);
}

TEST(QuantityText, AChangeIsTheDifferenceOfTheEntriesAsTheyArePrinted) {
    const QuantityText si(OutputUnits::si);
    EXPECT_EQ(si.entry_change("m3", 10.4, 12.6), "+3");  // 10 and 13 stand there
    EXPECT_EQ(si.entry_change("m3", 12.6, 10.4), "-3");
    EXPECT_EQ(si.entry_change("m3", 10.6, 11.4), "0");
    EXPECT_EQ(si.entry_change("L/s", 0.5, 0.4996), "0");
    EXPECT_EQ(si.entry_change("L/s", 0.564, 0.539), "-0.025");
    EXPECT_EQ(si.entry_change("m3", std::nullopt, 3.0), "not known");
    EXPECT_EQ(si.entry_change("m3", 3.0, std::nullopt), "not known");
    const QuantityText us(OutputUnits::us);
    EXPECT_EQ(us.entry_change("m3", 0.0, 3.785411784), "+1000");
}

}  // namespace
}  // namespace eaveshed
