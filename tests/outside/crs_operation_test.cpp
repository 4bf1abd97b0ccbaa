#include "eaveshed/outside/crs_operation.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "eaveshed/crs/turned_crs.hpp"
#include "eaveshed/outside/gdal_crs.hpp"

namespace eaveshed {
namespace {

using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;

const Box kCalifornia{-122.6, 38.0, -122.4, 38.2};

Crs known(const std::string& text) {
    return crs_from_text(text, "test");
}

TEST(OperationBetween, OfOneDatumIsExact) {
    const auto facts = operation_between(known("EPSG:4326"), known("EPSG:32610"), kCalifornia);
    ASSERT_TRUE(facts);
    EXPECT_EQ(facts->accuracy_m, 0.0);
    EXPECT_FALSE(facts->ballpark);
    EXPECT_THAT(facts->missing_grids, IsEmpty());
    EXPECT_FALSE(operation_between(known("EPSG:32610"), known("EPSG:32610"), kCalifornia));
    EXPECT_FALSE(operation_between(Crs(), known("EPSG:32610"), kCalifornia));
}

// EPSG:1188, "NAD83 to WGS 84 (1)": accuracy 4 m.
TEST(OperationBetween, TellsTheAccuracyOfADatumShift) {
    const auto facts = operation_between(known("EPSG:4269"), known("EPSG:32610"), kCalifornia);
    ASSERT_TRUE(facts);
    EXPECT_EQ(facts->accuracy_m, 4.0);
    EXPECT_THAT(facts->name, HasSubstr("NAD83 to WGS 84"));
}

TEST(OperationBetween, SeesTheDatumOfATurnedGrid) {
    const Crs turned = turned_crs(known("EPSG:26910"), {500000.0, 4200000.0}, 12.0);
    const auto facts = operation_between(turned, known("EPSG:32610"), kCalifornia);
    ASSERT_TRUE(facts);
    EXPECT_EQ(facts->accuracy_m, 4.0);
    EXPECT_FALSE(operation_between(turned, known("EPSG:26910"), kCalifornia));
}

// NAD27 is tied to NAD83 by a grid of its own, which no Linux distribution's PROJ brings along.
TEST(OperationBetween, NamesTheGridsThatABetterWayNeeds) {
    const auto facts = operation_between(known("EPSG:4267"), known("EPSG:32610"), kCalifornia);
    ASSERT_TRUE(facts);
    if (facts->missing_grids.empty()) {
        GTEST_SKIP() << "the grids of NAD27 are installed";
    }
    EXPECT_THAT(facts->missing_grids.front(), Not(IsEmpty()));
    EXPECT_GT(facts->accuracy_m.value_or(100.0), facts->better_accuracy_m.value_or(0.0));
}

TEST(OperationBetween, SaysThatAnUnknownDatumIsTiedToNothing) {
    const Crs odd = known(
        "GEOGCS[\"odd\",DATUM[\"odd\",SPHEROID[\"Clarke 1866\",6378206.4,294.978698213898]],PRIMEM[\"Greenwich\",0],"
        "UNIT[\"degree\",0.0174532925199433]]");
    const auto facts = operation_between(odd, known("EPSG:32610"), kCalifornia);
    ASSERT_TRUE(facts);
    EXPECT_TRUE(facts->ballpark);
    EXPECT_FALSE(facts->accuracy_m);
}

}  // namespace
}  // namespace eaveshed
