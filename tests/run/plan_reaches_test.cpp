// method.md 7.15: what a plan leaves in each reach.
#include "eaveshed/offer/plan_reaches.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace eaveshed {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

// R1 and R2 meet in R3, which has a low flow of 2 L/s; three offers, of which the plan takes two: one enters R1, the
// other none. Enrolled already: 0.25 L/s in R2 and 0.125 L/s that enters no reach.
Enrolment enrolled() {
    Enrolment found;
    found.streams.layer = true;
    for (const char* const id : {"R1", "R2", "R3"}) {
        ReachRow row;
        row.reach_id = id;
        found.streams.numbers.emplace(id, static_cast<std::uint32_t>(found.streams.rows.size()));
        found.streams.rows.push_back(std::move(row));
    }
    found.streams.rows[0].next_reach_id = "R3";
    found.streams.rows[1].next_reach_id = "R3";
    found.streams.rows[2].low_flow_lps = 2.0;
    found.streams.tree = ReachTree({2, 2, kNoReach});
    found.offers = {{.parcel_id = "A", .delivery = {}, .gain_lps = 0.5, .reach = 0},
                    {.parcel_id = "B", .delivery = {}, .gain_lps = 4.0, .reach = 1},
                    {.parcel_id = "C", .delivery = {}, .gain_lps = 0.0625}};
    found.plan.chosen = {0, 2};
    found.present = {{1, 0.25}, {kNoReach, 0.125}};
    return found;
}

TEST(PlanReaches, AddWhatThePlanTakesToWhatIsEnrolled) {
    const PlanReaches plan = plan_reaches(enrolled());
    ASSERT_EQ(plan.reaches.size(), 3U);
    EXPECT_EQ(plan.reaches[0].added_local_lps, 0.5);
    EXPECT_EQ(plan.reaches[0].enrolled_total_lps, 0.0);
    EXPECT_EQ(plan.reaches[1].added_total_lps, 0.0);  // offer B is not taken
    EXPECT_EQ(plan.reaches[1].enrolled_total_lps, 0.25);
    EXPECT_EQ(plan.reaches[2].added_local_lps, 0.0);
    EXPECT_EQ(plan.reaches[2].added_total_lps, 0.5);
    EXPECT_EQ(plan.reaches[2].with_plan_lps, 0.75);
    EXPECT_EQ(plan.reaches[2].share, 0.375);
    EXPECT_FALSE(plan.reaches[0].share);  // no low flow is known there
}

TEST(PlanReaches, LoseNothing) {
    const PlanReaches plan = plan_reaches(enrolled());
    EXPECT_EQ(plan.enrolled_lps, 0.375);
    EXPECT_EQ(plan.added_lps, 0.5625);
    EXPECT_EQ(plan.no_reach_lps, 0.1875);
    EXPECT_EQ(plan.reaches[2].with_plan_lps + plan.no_reach_lps, plan.enrolled_lps + plan.added_lps);
}

TEST(PlanReaches, OfAFileWithoutStreamsAreNone) {
    Enrolment found = enrolled();
    found.streams = {};
    for (Offer& offer : found.offers) {
        offer.reach = kNoReach;
    }
    found.present = {{kNoReach, 0.375}};
    const PlanReaches plan = plan_reaches(found);
    EXPECT_TRUE(plan.reaches.empty());
    EXPECT_EQ(plan.no_reach_lps, 0.9375);
    EXPECT_EQ(plan_reaches_text(found), "");
}

TEST(PlanReaches, StandInATextOutletsFirstAndInATableInTheOrderOfTheFile) {
    const std::string text = plan_reaches_text(enrolled());
    EXPECT_LT(text.find("R3"), text.find("R1"));
    EXPECT_THAT(text, HasSubstr("38 %"));
    const Sheet table = plan_reaches_table(enrolled());
    ASSERT_EQ(table.rows.size(), 3U);
    EXPECT_EQ(table.rows[0].front(), Value(std::string("R1")));
    EXPECT_EQ(table.rows[2].front(), Value(std::string("R3")));
    Enrolment nothing = enrolled();
    nothing.plan.chosen.clear();
    nothing.present.clear();
    EXPECT_THAT(plan_reaches_text(nothing), Not(HasSubstr("%")));
}

}  // namespace
}  // namespace eaveshed
