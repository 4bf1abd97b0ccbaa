#include "eaveshed/notes/storm.hpp"

#include <gtest/gtest.h>

namespace eaveshed {
namespace {

constexpr Pipe kSmooth100{.bore_m = kWetLineBoreM, .hazen_williams_c = 150.0};

// BS 6367, Code of practice for drainage of roofs and paved areas: 75 mm/h as the design rate; the rest derived.
TEST(StormPeak, Of200SquareMetresAt75MillimetresAnHourIsFourLitresASecond) {
    // 200 m2 x 75 mm/h = 15,000 L/h; / 3600 = 4.1667 L/s
    EXPECT_NEAR(storm_peak_lps(1.0, 75.0, 200.0), 4.1667, 5e-5);
}

// Derived: 1 gpm = 231 in3 / min and 1 in/h on 96.25 ft2.
TEST(StormPeak, AgreesWithTheRationalMethodInUsUnits) {
    constexpr double kM2PerFt2 = 0.3048 * 0.3048;
    constexpr double kLpsPerCfs = 28.316846592;
    constexpr double kLpsPerGpm = 0.0630901964;
    const double lps = storm_peak_lps(1.0, 2.0 * 25.4, 1408.0 * kM2PerFt2);
    EXPECT_NEAR(lps / kLpsPerCfs, 0.065185, 5e-7);
    EXPECT_NEAR(lps / kLpsPerGpm, 29.26, 5e-3);
    EXPECT_NEAR(storm_peak_lps(1.0, 25.4, 96.25 * kM2PerFt2) / kLpsPerGpm, 1.0, 1e-9);
}

// Derived: 200 m2 at 75 mm/h, 30 m of 100 mm, C 150, five velocity heads.
TEST(WetLineLoss, OfThatStormIs158Millimetres) {
    const WetLine line{kSmooth100, 30.0, kWetLineFittings};
    const Flow storm = litres_per_second(storm_peak_lps(1.0, 75.0, 200.0));
    EXPECT_NEAR(wet_line_loss(line, storm).m, 0.158, 5e-4);
    // v = 0.0041667 / (pi / 4 x 0.1^2) = 0.53052 m/s; 5 x 0.53052^2 / (2 x 9.80665) = 0.07175 m
    EXPECT_NEAR(wet_line_loss({kSmooth100, 0.0, kWetLineFittings}, storm).m, 0.07175, 5e-6);
    EXPECT_DOUBLE_EQ(wet_line_loss({kSmooth100, 30.0, 0.0}, storm).m, friction_loss(kSmooth100, 30.0, storm).m);
}

TEST(WetLineLoss, IsOddInTheFlowAndGrowsWithFlowLengthAndFittings) {
    const WetLine line{kSmooth100, 12.0, 3.0};
    double last = 0.0;
    for (double lps = 0.5; lps < 8.0; lps += 0.5) {
        const double loss = wet_line_loss(line, litres_per_second(lps)).m;
        EXPECT_GT(loss, last);
        EXPECT_DOUBLE_EQ(wet_line_loss(line, litres_per_second(-lps)).m, -loss);
        EXPECT_LT(loss, wet_line_loss({kSmooth100, 13.0, 3.0}, litres_per_second(lps)).m);
        EXPECT_LT(loss, wet_line_loss({kSmooth100, 12.0, 3.5}, litres_per_second(lps)).m);
        last = loss;
    }
    EXPECT_EQ(wet_line_loss(line, {}).m, 0.0);
}

}  // namespace
}  // namespace eaveshed
