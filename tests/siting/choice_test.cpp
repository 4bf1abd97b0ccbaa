// method.md 6.18 to 6.20: which pad is the better one.
#include "eaveshed/siting/choice.hpp"

#include <gtest/gtest.h>

#include "siting/random_site.hpp"

namespace eaveshed {
namespace {

using testing::shipped_rules;

PadRank rank(double margin_m, double pressure_kpa, double length_m = 10.0, Cell cell = {}) {
    return rank_of({.fill_margin_m = margin_m,
                    .fill_sd_m = 0.5,
                    .fill_distance_m = 0.0,
                    .pipe_m = length_m,
                    .pressure_kpa = pressure_kpa,
                    .cell = cell},
                   shipped_rules());
}

TEST(PadRank, HasFiveStages) {
    EXPECT_EQ(rank(1.0, 15.0).stage, 1);
    EXPECT_EQ(rank(0.5, 15.0).stage, 2);
    EXPECT_EQ(rank(1.0, 5.0).stage, 3);
    EXPECT_EQ(rank(0.5, 5.0).stage, 4);
    EXPECT_EQ(rank(-0.5, 15.0).stage, 5);
    EXPECT_EQ(rank(-0.5, 15.0).feed, FeedClass::low);
}

TEST(PadRank, RoundsBeforeItCompares) {
    EXPECT_EQ(rank(-4e-7, 10.0 - 4e-7).stage, 2);
    EXPECT_EQ(rank(-6e-7, 10.0).stage, 5);
    EXPECT_EQ(rank(1.0, 70.0 - 4e-7).feed, FeedClass::gravity);
    EXPECT_EQ(rank(0.6407754, 10.0 - 6e-7).stage, 4);  // 1.28155 x 0.5 = 0.640776
    EXPECT_EQ(rank(0.6407758, 10.0).stage, 1);
    EXPECT_FALSE(rank(1.0, 20.0, 10.0 + 4e-7).better_than(rank(1.0, 20.0, 10.0)));
    EXPECT_FALSE(rank(1.0, 20.0, 10.0).better_than(rank(1.0, 20.0, 10.0 + 4e-7)));
}

TEST(PadRank, AsksForStageThenFeedThenPressureInStepsThenLengthThenPressureThenPlace) {
    EXPECT_TRUE(rank(1.0, 15.0, 99.0).better_than(rank(0.5, 90.0, 1.0)));  // a sure fill before everything
    EXPECT_TRUE(rank(1.0, 70.0, 99.0).better_than(rank(1.0, 69.0, 1.0)));  // a better class
    EXPECT_TRUE(rank(1.0, 22.6, 99.0).better_than(rank(1.0, 22.4, 1.0)));  // a whole step of 2.5 kPa
    EXPECT_TRUE(rank(1.0, 22.4, 1.0).better_than(rank(1.0, 20.1, 2.0)) &&
                rank(1.0, 20.1, 1.0).better_than(rank(1.0, 22.4, 2.0)));  // in one step the shorter pipe
    EXPECT_TRUE(rank(1.0, 22.4).better_than(rank(1.0, 22.3)));
    EXPECT_TRUE(rank(1.0, 22.4, 5.0, {3, 9}).better_than(rank(1.0, 22.4, 5.0, {4, 1})));
    EXPECT_TRUE(rank(1.0, 22.4, 5.0, {3, 1}).better_than(rank(1.0, 22.4, 5.0, {3, 9})));
}

TEST(PadRank, SeesNoGainInPressureBeyondWhatIsSurelyEnough) {
    EXPECT_TRUE(rank(1.0, 90.0, 1.0).better_than(rank(1.0, 150.0, 2.0)));
    EXPECT_TRUE(rank(1.0, 150.0).better_than(rank(1.0, 90.0)));  // all else equal it still counts
}

TEST(PadRank, AsksAPumpForNoPressure) {
    EXPECT_TRUE(rank(1.0, -50.0, 1.0).better_than(rank(1.0, 9.0, 2.0)));
}

TEST(PadRank, NamesTheCriterionThatDecides) {
    const auto decides = [](const PadRank& a, const PadRank& b) {
        EXPECT_EQ(deciding_criterion(a, b), deciding_criterion(b, a));
        return deciding_criterion(a, b);
    };
    EXPECT_EQ(decides(rank(1.0, 22.4), rank(-1.0, 22.4)), PadCriterion::stage);
    EXPECT_EQ(decides(rank(-0.5, 80.0), rank(-2.5, 80.0)), PadCriterion::lift);
    EXPECT_EQ(decides(rank(1.0, 80.0), rank(1.0, 22.4)), PadCriterion::feed);
    EXPECT_EQ(decides(rank(1.0, 22.4), rank(1.0, 30.0)), PadCriterion::pressure_step);
    EXPECT_EQ(decides(rank(1.0, 22.4, 1.0), rank(1.0, 22.4, 2.0)), PadCriterion::length);
    EXPECT_EQ(decides(rank(1.0, 22.4), rank(1.0, 22.3)), PadCriterion::pressure);
    EXPECT_EQ(decides(rank(1.0, 22.4, 5.0, {3, 9}), rank(1.0, 22.4, 5.0, {4, 1})), PadCriterion::place);
    PadRank row = rank(1.0, 22.4);
    row.arrangement = Arrangement::row;
    PadRank cluster = rank(1.0, 22.4);
    cluster.arrangement = Arrangement::cluster;
    EXPECT_EQ(decides(row, cluster), PadCriterion::arrangement);
    EXPECT_TRUE(cluster.better_than(row));
}

// method.md 6.20: a lift of up to one metre is as good as any other such, and goes before one of up to two.
TEST(PadRank, PutsASmallLiftBeforeALargeOneInWholeSteps) {
    EXPECT_TRUE(rank(-0.9, 5.0, 99.0).better_than(rank(-1.1, 90.0, 1.0)));  // before feed, pressure and length
    EXPECT_TRUE(rank(-0.9, 15.0, 99.0).better_than(rank(-0.1, 5.0, 1.0)));  // within one step the feed decides
    EXPECT_TRUE(rank(-0.9, 5.0, 1.0).better_than(rank(-0.1, 5.0, 2.0)));
    EXPECT_EQ(rank(-1.0, 5.0).lift_steps, 1.0);
    EXPECT_EQ(rank(-1.0 - 4e-7, 5.0).lift_steps, 1.0) << "rounded first";
    EXPECT_EQ(rank(-1.0 - 6e-7, 5.0).lift_steps, 2.0);
    EXPECT_EQ(rank(3.0, 5.0).lift_steps, 0.0) << "no step without a pump";
    PadRules wide = shipped_rules();
    wide.lift_step_m = 5.0;
    EXPECT_EQ(rank_of({.fill_margin_m = -1.1, .cell = {}}, wide).lift_steps, 1.0);
}

TEST(PadRank, NamesTheDelivery) {
    EXPECT_EQ(rank(1.0, 80.0).delivery(), Delivery::gravity);
    EXPECT_EQ(rank(0.5, 15.0).delivery(), Delivery::low_pressure);
    EXPECT_EQ(rank(1.0, 5.0).delivery(), Delivery::pumped_feed);
    EXPECT_EQ(rank(-1.0, 80.0).delivery(), Delivery::pumped_fill);
}

}  // namespace
}  // namespace eaveshed
