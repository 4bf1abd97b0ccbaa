#include "eaveshed/shape/nearest_places.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <tuple>

#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

// Sources: Karney 2013 gives the quarter meridian of WGS 84 as 10,001,965.729 m; a degree of the equator is
// 2 pi a / 360 = 111,319.4908 m.
TEST(GeodesicDistance, IsThatOfTheQuarterMeridianAndOfADegreeOfTheEquator) {
    EXPECT_NEAR(geodesic_distance_m({10.0, 0.0}, {10.0, 90.0}, {}), 10001965.729, 1e-3);
    EXPECT_NEAR(geodesic_distance_m({10.0, 0.0}, {11.0, 0.0}, {}), 111319.4908, 1e-4);
    EXPECT_NEAR(geodesic_distance_m({179.5, 0.0}, {-179.5, 0.0}, {}), 111319.4908, 1e-4);
    EXPECT_EQ(geodesic_distance_m({5.0, 50.0}, {5.0, 50.0}, {}), 0.0);
}

TEST(NearestPlaces, AreInTheOrderOfTheirDistancesAndEqualOnesOfTheirPosition) {
    const NearestPlaces places({{1.0, 0.0}, {0.0, 0.0}, {-1.0, 0.0}, {0.5, 0.0}}, {});
    const auto found = places.nearest({0.0, 0.0}, 3);
    ASSERT_EQ(found.size(), 3U);
    EXPECT_EQ(found[0].place, 1U);
    EXPECT_EQ(found[1].place, 3U);
    EXPECT_EQ(found[2].place, 0U);
    EXPECT_EQ(places.nearest({0.0, 0.0}, 9).size(), 4U);
    EXPECT_EQ(places.nearest({0.0, 0.0}, 9)[3].place, 2U);
    EXPECT_TRUE(NearestPlaces().nearest({0.0, 0.0}, 4).empty());
}

// Against plain sorting, for places in a valley, in a country and all over the Earth, at all latitudes.
TEST(NearestPlaces, OfManyAreThoseThatPlainSortingGives) {
    testing::RandomNumbers random(20261129);
    for (const double spread : {0.05, 5.0, 80.0}) {
        for (int round = 0; round < 20; ++round) {
            const Point middle{random.between(-180.0, 180.0),
                               random.between(-85.0 + std::min(spread, 84.0), 85.0 - std::min(spread, 84.0))};
            const auto near = [&] {
                return Point{middle.x + random.between(-spread, spread), middle.y + random.between(-spread, spread)};
            };
            std::vector<Point> degrees;
            for (int i = 0; i < 200; ++i) {
                degrees.push_back(near());
            }
            const Point here = near();
            std::vector<std::tuple<double, std::uint32_t>> sorted;
            for (std::uint32_t i = 0; i < degrees.size(); ++i) {
                sorted.emplace_back(geodesic_distance_m(here, degrees[i], {}), i);
            }
            std::ranges::sort(sorted);
            const auto found = NearestPlaces(degrees, {}).nearest(here, 5);
            ASSERT_EQ(found.size(), 5U);
            for (std::size_t i = 0; i < found.size(); ++i) {
                EXPECT_EQ(std::tuple(found[i].distance_m, found[i].place), sorted[i]) << spread;
            }
        }
    }
}

}  // namespace
}  // namespace eaveshed
