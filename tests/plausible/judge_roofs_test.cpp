#include "eaveshed/plausible/judge_roofs.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace eaveshed {
namespace {

using ::testing::HasSubstr;

// So many roofs of 100 m2 and one storey in a parcel with a known source.
BasinSample roofs(std::size_t count) {
    BasinSample sample;
    sample.of = count;
    for (std::size_t i = 0; i < count; ++i) {
        RoofSample& roof = sample.roofs.emplace_back();
        roof.id = "R" + std::to_string(i);
        roof.plan_area_m2 = 100.0;
        roof.computed = true;
        roof.storeys = 1.0;
    }
    return sample;
}

std::vector<std::string> lines(const BasinSample& sample) {
    Findings findings;
    judge_roofs(sample, {"footprints", "terrain", "surface", "parcels"}, findings);
    std::vector<std::string> lines;
    for (const Finding& finding : findings.list()) {
        lines.push_back(finding_line(finding));
    }
    return lines;
}

TEST(JudgeRoofs, TheMiddleValueDecidesAndTheMiddleOneOfThoseConcernedIsNamed) {
    BasinSample sample = roofs(9);
    for (std::size_t i = 0; i < 9; ++i) {
        sample.roofs[i].eave_height_m = i < 4 ? 2.8 : 9.0 + static_cast<double>(i);
    }
    EXPECT_THAT(lines(sample),
                ::testing::ElementsAre(::testing::AllOf(HasSubstr("warning [eave_per_storey]: footprints: found"),
                                                        HasSubstr("of 13 in the middle"),
                                                        HasSubstr("56 % of 9 roofs looked at, such as \"R6\" (15 m"))));
    sample.roofs[4].eave_height_m = 2.9;
    EXPECT_THAT(lines(sample), ::testing::IsEmpty());
}

TEST(JudgeRoofs, TheRulesShareDecidesWhereSingleRoofsAreAsked) {
    BasinSample sample = roofs(8);
    for (std::size_t i = 0; i < 8; ++i) {
        sample.roofs[i].stands_up_m = i < 2 ? 3.0 : 0.0;
    }
    EXPECT_THAT(lines(sample), ::testing::ElementsAre(HasSubstr("25 % of 8 roofs looked at")));
    sample.roofs[0].stands_up_m = 1.7;
    EXPECT_THAT(lines(sample), ::testing::IsEmpty());
}

TEST(JudgeRoofs, AFewRoofsDoNotMakeItSpeak) {
    BasinSample sample = roofs(kLeastJudged - 1);
    for (RoofSample& roof : sample.roofs) {
        roof.stands_up_m = 5.0;
        roof.eave_height_m = 30.0;
    }
    EXPECT_THAT(lines(sample), ::testing::IsEmpty());
}

TEST(JudgeRoofs, GroundFarBelowAllNeighboursIsAHole) {
    BasinSample sample = roofs(10);
    for (std::size_t i = 0; i < 10; ++i) {
        sample.roofs[i].x_m = 20.0 * static_cast<double>(i);
        sample.roofs[i].ground_m = 100.0 + static_cast<double>(i);
    }
    EXPECT_THAT(lines(sample), ::testing::IsEmpty());
    // The fifth nearest is 60 m away: 20 m below it and 30 m for the distance.
    sample.roofs[4].ground_m = 45.0;
    EXPECT_THAT(lines(sample), ::testing::ElementsAre(HasSubstr("1 of 10 roofs looked at, such as \"R4\"")));
    sample.roofs[4].ground_m = 75.0;
    EXPECT_THAT(lines(sample), ::testing::IsEmpty());
}

TEST(JudgeRoofs, WhatIsSaidOfAllSaysOfHowMany) {
    BasinSample sample = roofs(7);
    for (RoofSample& roof : sample.roofs) {
        roof.storeys.reset();
        roof.source_unknown = true;
    }
    sample.roofs[3].computed = false;
    EXPECT_THAT(lines(sample),
                ::testing::ElementsAre(HasSubstr("no eave height, nor storeys, of any of 6 roofs looked at"),
                                       HasSubstr("no known water source at any of 6 roofs looked at")));
}

TEST(JudgeRoofs, TheRulesShareOfRoofsInsideAnExclusionIsToldAtItAndNotBelow) {
    BasinSample sample = roofs(10);
    sample.has_exclusions = true;
    for (std::size_t i = 0; i < 10; ++i) {
        sample.roofs[i].excluded = i < 9;
    }
    EXPECT_THAT(lines(sample), ::testing::ElementsAre(HasSubstr("[roofs_excluded]")));
    sample.roofs[0].excluded = false;
    EXPECT_THAT(lines(sample), ::testing::IsEmpty());
}

TEST(JudgeRoofs, GroundOnASlopeOrASurfaceThatMissesSomeRoofsIsSound) {
    BasinSample sample = roofs(10);
    sample.has_surface = true;
    for (std::size_t i = 0; i < 10; ++i) {
        sample.roofs[i].slope_pct = 25.0;
        sample.roofs[i].surface_m = i < 8 ? 0.2 : 3.0;  // eight of ten are too few
        sample.roofs[i].surface_beside_m = 0.3;
    }
    EXPECT_THAT(lines(sample), ::testing::IsEmpty());
    sample.roofs[8].surface_m = 0.2;
    EXPECT_THAT(lines(sample), ::testing::ElementsAre(HasSubstr("[surface_flat]")));
}

}  // namespace
}  // namespace eaveshed
