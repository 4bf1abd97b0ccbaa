// Lots far apart, each with a roof: what is told of roofs that lie a little across, or a little beside.
#include "eaveshed/plausible/judge_parcel_fit.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "eaveshed/plausible/judge_roofs.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

constexpr double kLotM = 30.0;
constexpr double kApartM = 200.0;

// Roofs as wide as `width_m`, `east_m` beside the middle of their lots.
struct Roofs {
    std::size_t count = 0;
    double width_m = 10.0;
    double east_m = 0.0;
};

ParcelFit lots(const std::vector<Roofs>& groups) {
    ParcelFit fit;
    for (const Roofs& group : groups) {
        for (std::size_t i = 0; i < group.count; ++i) {
            const double x = kApartM * static_cast<double>(fit.roofs.size());
            fit.parcels.push_back({{{{{x, 0}, {x + kLotM, 0}, {x + kLotM, kLotM}, {x, kLotM}, {x, 0}}, {}}}});
            const Point middle{x + kLotM / 2.0 + group.east_m, kLotM / 2.0};
            // On a line through the middle: a corner's way towards it is the shortest out of the lot.
            fit.roofs.push_back(
                {"R" + std::to_string(fit.roofs.size()),
                 middle,
                 {{middle.x - group.width_m / 2.0, middle.y}, {middle.x + group.width_m / 2.0, middle.y}},
                 std::nullopt});
        }
    }
    return fit;
}

std::vector<std::string> told(const std::vector<Roofs>& groups) {
    Findings findings;
    judge_parcel_fit(lots(groups), "parcels", findings);
    std::vector<std::string> lines;
    for (const Finding& finding : findings.list()) {
        lines.push_back(finding_line(finding));
    }
    return lines;
}

TEST(JudgeParcelFit, ACornerCountsWhereItLiesOverAMetreOutside) {
    EXPECT_THAT(told({{.count = 20, .width_m = kLotM + 2.0 * 0.99}}), IsEmpty());
    EXPECT_THAT(told({{.count = 20, .width_m = kLotM + 2.0 * 1.01}}),
                ElementsAre(AllOf(HasSubstr("[roofs_across_parcels]"),
                                  HasSubstr("100 % of 20 roofs looked at not inside one parcel, such as \"R10\""))));
}

TEST(JudgeParcelFit, TheRulesShareOfRoofsHasToLieAcross) {
    EXPECT_THAT(told({{.count = 6, .width_m = 40.0}, {.count = 14}}), IsEmpty());
    EXPECT_THAT(told({{.count = 7, .width_m = 40.0}, {.count = 13}}),
                ElementsAre(HasSubstr("35 % of 20 roofs looked at not inside one parcel")));
}

// Shifts are tried every 2 m: 2 m are less than the bound of 3 m, and 4 m are more.
TEST(JudgeParcelFit, AShiftIsToldFromItsLeastLengthOn) {
    EXPECT_THAT(told({{.count = 20, .width_m = kLotM, .east_m = 2.0}}),
                ElementsAre(HasSubstr("[roofs_across_parcels]")));
    EXPECT_THAT(told({{.count = 20, .width_m = kLotM, .east_m = 4.0}}),
                ElementsAre(AllOf(HasSubstr("[parcels_shifted]"),
                                  HasSubstr("with the footprints 4 m west and 0 m north it would be 0 %"))));
}

TEST(JudgeParcelFit, TheRulesShareOfRoofsHasToLieWrongAndHalfOfThemMended) {
    const Roofs beside{.count = 5, .width_m = kLotM, .east_m = 4.0};
    EXPECT_THAT(told({{.count = 4, .width_m = kLotM, .east_m = 4.0}, {.count = 16}}), IsEmpty());
    EXPECT_THAT(told({beside, {.count = 15}}), ElementsAre(HasSubstr("[parcels_shifted]")));
    EXPECT_THAT(told({beside, {.count = 5, .width_m = 40.0}}), ElementsAre(HasSubstr("[parcels_shifted]")));
    EXPECT_THAT(told({beside, {.count = 6, .width_m = 40.0}}), ElementsAre(HasSubstr("[roofs_across_parcels]")));
}

TEST(JudgeParcelFit, AFewRoofsDoNotMakeItSpeak) {
    EXPECT_THAT(told({{.count = kLeastJudged - 1, .width_m = 40.0}}), IsEmpty());
    EXPECT_THAT(told({{.count = kLeastJudged, .width_m = 40.0}}), ElementsAre(HasSubstr("[roofs_across_parcels]")));
}

}  // namespace
}  // namespace eaveshed
