// The empirical formula of the program against the physical law, which is itself held against published answers first.
#include <gtest/gtest.h>

#include "eaveshed/hydraulics/friction.hpp"
#include "hydraulics/colebrook.hpp"

namespace eaveshed {
namespace {

using testing::colebrook;
using testing::RoundPipe;
using testing::swamee_jain;
using testing::Water;

constexpr double kGravity = kKpaPerMetre;  // m/s2: standard gravity, in the same digits

// R5.7 (answers read: Lindeburg, Civil Engineering Reference Manual, example 17.2).
TEST(Darcy, GivesTheReferenceManualsFrictionFactors) {
    EXPECT_NEAR(swamee_jain(400'000.0, 0.004), 0.0288, 0.00005);
    EXPECT_NEAR(colebrook(400'000.0, 0.004), 0.0287, 0.00005);
}

// R5.8 (inputs read: Cengel and Cimbala, Fluid Mechanics, example 8-8): gravity feed between two tanks. An entrance,
// two elbows, an open valve and the exit lose K 0.5 + 2 x 0.3 + 0.2 + 1.06.
TEST(Darcy, GivesTheTextbooksGravityFeedBetweenTwoTanks) {
    const Water cold{.density_kg_m3 = 999.7, .viscosity_pa_s = 1.307e-3};
    const RoundPipe pipe{.bore_m = 0.05, .roughness_m = 0.26e-3};
    const double flow = litres_per_second(6.0).m3_per_s;
    EXPECT_NEAR(pipe.reynolds(flow, cold), 116'865.0, 50.0);
    EXPECT_NEAR(colebrook(pipe.reynolds(flow, cold), pipe.roughness_m / pipe.bore_m), 0.0315, 0.00005);
    const double loss_m = pipe.head_loss_m(flow, 89.0, 0.5 + 2.0 * 0.3 + 0.2 + 1.06, cold, 9.81);
    EXPECT_NEAR(loss_m, 27.8, 0.1);
    EXPECT_NEAR(4.0 + loss_m, 31.8, 0.1);
}

// Plastic pipe (roughness 0.0015 mm, common practice) over the flows that a garden draws: the formula with C 150 stays
// within a quarter of the law (below it where the water is slow), and over the longest usual feed pipe the two differ
// by less than one pressure step.
TEST(Friction, StaysNearThePhysicalLawForPlasticFeedPipes) {
    constexpr double kLongestM = 70.0;
    constexpr double kPressureStepKpa = 2.5;
    for (const double bore_m : {0.025, 0.032, 0.040, 0.050}) {
        for (const double flow_lps : {0.2, 0.25, 0.4, 0.6}) {
            const RoundPipe plastic{.bore_m = bore_m, .roughness_m = 1.5e-6};
            const Flow flow = litres_per_second(flow_lps);
            ASSERT_GT(plastic.reynolds(flow.m3_per_s, {}), 4000.0) << "not turbulent";
            const double law = plastic.head_loss_m(flow.m3_per_s, 1.0, 0.0, {}, kGravity);
            const double formula = friction_slope({bore_m, 150.0}, flow);
            EXPECT_NEAR(formula / law, 1.0, 0.25) << bore_m << ' ' << flow_lps;
        }
    }
    const RoundPipe shipped{.bore_m = 0.032, .roughness_m = 1.5e-6};
    const Flow design = litres_per_second(0.25);
    const double law_m = shipped.head_loss_m(design.m3_per_s, kLongestM, 0.0, {}, kGravity);
    const double formula_m = kLongestM * friction_slope({shipped.bore_m, 150.0}, design);
    EXPECT_LT(std::abs(law_m - formula_m) * kGravity, kPressureStepKpa);
}

}  // namespace
}  // namespace eaveshed
