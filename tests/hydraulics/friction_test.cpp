// method.md 6.12: friction by Hazen and Williams.
#include "eaveshed/hydraulics/friction.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "eaveshed/core/error.hpp"

namespace eaveshed {
namespace {

constexpr double kMetresPerInch = 0.0254;
constexpr double kLitresPerSecondPerGpm = 0.0630901964;  // R9.1: exact to the digits printed

// A row of a pressure-loss table in US units.
struct TableRow {
    double gpm = 0.0;
    double bore_in = 0.0;
    double loss_ft_per_100_ft = 0.0;
};

double loss_per_100(const TableRow& row, double c) {
    return 100.0 *
           friction_slope({row.bore_in * kMetresPerInch, c}, litres_per_second(row.gpm * kLitresPerSecondPerGpm));
}

// R5.4 (read: Illinois Administrative Code title 77 part 906 App. A exhibit I): C 150, Schedule 40, within 2 %.
TEST(Friction, IsTheAdministrativeCodesTable) {
    for (const TableRow& row :
         std::vector<TableRow>{{10, 1.049, 5.50}, {20, 1.610, 2.46}, {50, 2.067, 3.98}, {100, 3.068, 2.09}}) {
        EXPECT_NEAR(loss_per_100(row, 150.0), row.loss_ft_per_100_ft, 0.02 * row.loss_ft_per_100_ft) << row.gpm;
    }
}

// R5.5 (read: engineering handbook pressure-loss table for plastic pipe): C 145, within 1 %
// and the rounding of the printed figures, which have one decimal.
TEST(Friction, IsTheHandbooksTable) {
    for (const TableRow& row :
         std::vector<TableRow>{{4, 0.622, 13.7}, {5, 0.824, 5.3}, {10, 1.049, 5.9}, {20, 1.049, 21.2}}) {
        EXPECT_NEAR(loss_per_100(row, 145.0), row.loss_ft_per_100_ft, 0.01 * row.loss_ft_per_100_ft + 0.05) << row.gpm;
    }
}

// Read: worked example on engineeringtoolbox.com, page 797: 200 gal/min in a bore of 3.048 in, C 140, gives 9 ft per
// 100 ft and 2.7 ft over 30 ft, to the digits printed.
TEST(Friction, IsTheWorkedExamples) {
    EXPECT_NEAR(loss_per_100({200, 3.048, 0.0}, 140.0), 9.0, 0.5);
    const Pipe pipe{3.048 * kMetresPerInch, 140.0};
    const Head loss = friction_loss(pipe, 30.0 * kMetresPerFoot, litres_per_second(200.0 * kLitresPerSecondPerGpm));
    EXPECT_NEAR(loss.m / kMetresPerFoot, 2.7, 0.05);
}

// The US form of EPANET 2's manual, 4.727 L q^1.852 / (C^1.852 d^4.871) in feet and cubic feet a second (read in a
// discussion of the EPANET maintainers, which finds the SI form within about 0.1 % of it from 50 mm to 2 m).
TEST(Friction, IsTheUsFormOfThePublicNetworkModel) {
    const double cubic_foot = kMetresPerFoot * kMetresPerFoot * kMetresPerFoot;
    for (const double bore_m : {0.05, 0.1, 0.3, 1.0, 2.0}) {
        const double flow_m3_per_s = bore_m * bore_m;  // a little over 1 m/s
        const double us = 4.727 * std::pow(flow_m3_per_s / cubic_foot, 1.852) /
                          (std::pow(130.0, 1.852) * std::pow(bore_m / kMetresPerFoot, 4.871));
        EXPECT_NEAR(friction_slope({bore_m, 130.0}, Flow{flow_m3_per_s}), us, 0.002 * us) << bore_m;
    }
}

// R5.6 (derived): 3.0 m over 50 m of 26.64 mm, C 150, carry 0.6617 L/s, within 0.5 %.
TEST(Friction, LeavesTheDerivedFlowForAGivenHead) {
    const Flow flow = flow_at_slope({0.02664, 150.0}, 3.0 / 50.0);
    EXPECT_NEAR(flow.m3_per_s * 1000.0, 0.6617, 0.005 * 0.6617);
    EXPECT_NEAR(friction_loss({0.02664, 150.0}, 50.0, litres_per_second(0.6617)).m, 3.0, 0.01 * 3.0);
}

// method.md 6.12 with its defaults: 0.25 L/s over 20 m of 32 mm, C 150 (derived: worked with 30 decimal digits).
TEST(Friction, OfTheShippedGardenPipeIsSmall) {
    const double expected_m = 0.08101694169036312;
    EXPECT_NEAR(friction_loss({0.032, 150.0}, 20.0, litres_per_second(0.25)).m, expected_m, 1e-12);
}

TEST(Friction, IsOddInTheFlowAndSoIsItsInverse) {
    const Pipe pipe{0.032, 150.0};
    for (const double litres : {0.01, 0.25, 3.0}) {
        const double forward = friction_slope(pipe, litres_per_second(litres));
        EXPECT_GT(forward, 0.0);
        EXPECT_EQ(friction_slope(pipe, litres_per_second(-litres)), -forward);
        EXPECT_EQ(friction_loss(pipe, 7.0, litres_per_second(-litres)).m, -7.0 * forward);
        EXPECT_NEAR(flow_at_slope(pipe, forward).m3_per_s, litres / 1000.0, 1e-12 * litres);
        EXPECT_EQ(flow_at_slope(pipe, -forward).m3_per_s, -flow_at_slope(pipe, forward).m3_per_s);
    }
    EXPECT_EQ(friction_slope(pipe, Flow{}), 0.0);
    EXPECT_EQ(flow_at_slope(pipe, 0.0).m3_per_s, 0.0);
}

TEST(Friction, GrowsWithFlowAndLengthAndFallsWithBoreAndSmoothness) {
    const Flow flow = litres_per_second(0.25);
    double last = 0.0;
    for (const double litres : {0.1, 0.2, 0.4, 0.8}) {
        const double loss = friction_slope({0.032, 150.0}, litres_per_second(litres));
        EXPECT_GT(loss, last);
        last = loss;
    }
    EXPECT_LT(friction_slope({0.040, 150.0}, flow), friction_slope({0.032, 150.0}, flow));
    EXPECT_LT(friction_slope({0.032, 150.0}, flow), friction_slope({0.032, 120.0}, flow));
    EXPECT_DOUBLE_EQ(friction_loss({0.032, 150.0}, 40.0, flow).m, 2.0 * friction_loss({0.032, 150.0}, 20.0, flow).m);
    EXPECT_EQ(friction_loss({0.032, 150.0}, 0.0, flow).m, 0.0);
}

TEST(Friction, NeedsAPipe) {
    EXPECT_THROW(static_cast<void>(friction_slope({0.0, 150.0}, Flow{1e-3})), Error);
    EXPECT_THROW(static_cast<void>(friction_slope({0.032, -1.0}, Flow{1e-3})), Error);
    EXPECT_THROW(static_cast<void>(friction_loss({0.032, 150.0}, -1.0, Flow{1e-3})), Error);
}

}  // namespace
}  // namespace eaveshed
