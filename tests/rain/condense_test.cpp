#include "eaveshed/rain/condense.hpp"
#include "support/plain_values.hpp"

#include <gtest/gtest.h>

#include <limits>

namespace eaveshed {
namespace {

using testing::kNaN;

TEST(WetDays, ADayIsWetWhereSomeCellHasRainOrAGapAndOneDryDayStandsForAll) {
    WetDays days(6);
    days.add(std::vector<double>{0.0, 0.0, 2.0, 0.0, 0.0, 0.0});
    days.add(std::vector<double>{0.0, 0.0, 0.0, 0.0, kNaN, 0.0});
    days.add(std::vector<double>(6, kNaN));  // never a value: nothing is known, nothing is missing
    EXPECT_EQ(days.wet(), (std::vector<bool>{true, false, true, false, true, false}));
}

TEST(KeepDays, CutsOneSeriesAndEverySeriesOfAFieldAlike) {
    StepField field({.grid = {.rows = 1, .cols = 2}, .window = {0, 1, 0, 2}, .steps = 4},
                    {1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0});
    const std::vector<std::uint32_t> kept{0, 3};
    EXPECT_EQ(keep_days(field.series({0, 1}), kept), (std::vector<double>{5.0, 8.0}));
    keep_days(field, kept);
    EXPECT_EQ(field.steps, 2U);
    EXPECT_EQ(field.values, (std::vector<double>{1.0, 4.0, 5.0, 8.0}));
}

}  // namespace
}  // namespace eaveshed
