#include "eaveshed/crs/crs.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "support/expect_error.hpp"
#include "support/plane_crs.hpp"

namespace eaveshed {
namespace {

using testing::plane;

TEST(Crs, NoneIsNotGivenAndIsTheSameOnlyAsNone) {
    EXPECT_FALSE(Crs().given());
    EXPECT_EQ(Crs().name(), "no CRS");
    EXPECT_TRUE(Crs().same_as(Crs()));
    EXPECT_FALSE(Crs().same_as(plane()));
    EXPECT_FALSE(plane().same_as(Crs()));
    EXPECT_TRUE(plane().same_as(plane()));
    EXPECT_FALSE(plane("a").same_as(plane("b")));
}

TEST(Crs, HasRoughMetresForAUnitOfAnySystem) {
    EXPECT_EQ(plane().rough_metres_per_unit(), 1.0);
    EXPECT_NEAR(plane().geographic().rough_metres_per_unit(), testing::kMetresPerFlatDegree, 1e-6);
}

TEST(Transform, BetweenEqualSystemsChangesNothingAndRefusesWhatIsNotFinite) {
    const Transform same(plane(), plane(), "test");
    EXPECT_TRUE(same.identity());
    EXPECT_EQ(same(Point{1.5, -2.0}).value(), (Point{1.5, -2.0}));
    EXPECT_FALSE(same(Point{std::numeric_limits<double>::infinity(), 0.0}));
    EXPECT_FALSE(same(Point{0.0, std::nan("")}));
}

TEST(Transform, AsksTheModelForTheWayAndAppliesItToPointsOutlinesAndBoxes) {
    const Transform shift(plane("a", {100.0, 10.0}), plane("b"), "test");
    EXPECT_FALSE(shift.identity());
    EXPECT_EQ(shift(Point{1.0, 2.0}).value(), (Point{101.0, 12.0}));
    const MultiPolygon square{{{{{0, 0}, {1, 0}, {1, 1}, {0, 1}, {0, 0}}, {}}}};
    EXPECT_EQ(shift(square)->parts.at(0).outer.at(2), (Point{101.0, 11.0}));
    const Box box = shift(Box{0.0, 0.0, 1.0, 1.0}).value();  // grown by a thousandth: sides may bulge
    EXPECT_NEAR(box.x_min, 99.999, 1e-9);
    EXPECT_NEAR(box.y_max, 11.001, 1e-9);
}

TEST(Transform, NamesBothWhereThereIsNoWay) {
    testing::expect_input_error([] { (void)Transform(plane().geographic(), plane(), "streams.source"); },
                                {"streams.source", "degrees", "home"});
}

}  // namespace
}  // namespace eaveshed
