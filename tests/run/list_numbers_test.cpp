#include "eaveshed/offer/list_numbers.hpp"

#include <gtest/gtest.h>

namespace eaveshed {
namespace {

TEST(ListNumbers, AreRoundedToWhatTheyMean) {
    const ListNumbers of(OutputUnits::si);
    EXPECT_EQ(list_text(of.volume(3.14159)), "3.1");
    EXPECT_EQ(list_text(of.volume(56.789)), "57");
    EXPECT_EQ(list_text(of.flow(0.0123456)), "0.0123");
    EXPECT_EQ(list_text(of.flow(1234.5)), "1230");
    EXPECT_EQ(list_text(of.flow(0.0)), "0");
    EXPECT_EQ(list_text(of.pressure(74.37)), "74");
    EXPECT_EQ(list_text(ListNumbers::money(18200.49)), "18200");
    EXPECT_EQ(list_text(ListNumbers::percent(0.8512)), "85");
}

TEST(ListNumbers, WhatIsNotKnownIsEmptyAndNeverZero) {
    const ListNumbers of(OutputUnits::si);
    EXPECT_EQ(of.volume(std::nullopt), Value());
    EXPECT_EQ(of.flow(std::nullopt), Value());
    EXPECT_EQ(ListNumbers::money(std::nullopt), Value());
    EXPECT_EQ(list_text(ListNumbers::percent(std::nullopt)), "-");
}

// US gallon of 231 in3: 3.785411784 L (NIST SP 811, appendix B.8).
TEST(ListNumbers, AreShownInUsUnitsWhereTheProjectAsksForThem) {
    const ListNumbers of(OutputUnits::us);
    EXPECT_EQ(list_text(of.volume(37.85411784)), "10000");
    EXPECT_EQ(list_text(of.volume(1.0)), "260");
    EXPECT_EQ(of.unit("m3"), "gal");
}

}  // namespace
}  // namespace eaveshed
