// Geometries as a GeoPackage stores them: OGC 12-128r17, clause 2.1.3.
#include <gtest/gtest.h>

#include "eaveshed/geometry/footprint_geometry.hpp"
#include "eaveshed/geometry/wkb.hpp"

namespace eaveshed {
namespace {

std::vector<unsigned char> gp_bytes(unsigned char flags, std::size_t envelope, std::size_t more = 5) {
    std::vector<unsigned char> bytes{'G', 'P', 0, flags, 0, 0, 0, 0};
    bytes.resize(bytes.size() + envelope, 7);
    bytes.resize(bytes.size() + more, 9);
    return bytes;
}

TEST(GeoPackageGeometry, TheWkbBeginsBehindTheEnvelopeThatTheFlagsTellOf) {
    const std::size_t sizes[] = {0, 32, 48, 48, 64};  // table 5 of the standard
    for (unsigned kind = 0; kind < 5; ++kind) {
        const auto bytes = gp_bytes(static_cast<unsigned char>(kind << 1U | 1U), sizes[kind]);
        const auto wkb = geopackage_wkb(bytes);
        ASSERT_TRUE(wkb) << kind;
        EXPECT_EQ(std::vector<unsigned char>(wkb->begin(), wkb->end()), std::vector<unsigned char>(5, 9)) << kind;
    }
}

TEST(GeoPackageGeometry, OtherBytesAndEmptyGeometriesHaveNone) {
    EXPECT_FALSE(geopackage_wkb({}));
    EXPECT_FALSE(geopackage_wkb(gp_bytes(0x11, 0)));          // says it is empty
    EXPECT_FALSE(geopackage_wkb(gp_bytes(5U << 1U, 64)));     // an envelope that the standard does not know
    EXPECT_FALSE(geopackage_wkb(gp_bytes(1U << 1U, 20, 0)));  // cut off within the envelope
    std::vector<unsigned char> other = gp_bytes(1, 0);
    other[1] = 'Q';
    EXPECT_FALSE(geopackage_wkb(other));
    other = gp_bytes(1, 0);
    other[2] = 1;  // of a version that is not known
    EXPECT_FALSE(geopackage_wkb(other));
}

// method.md 9.5.
TEST(GeoPackageGeometry, MoreThanHalfOfTheSmallerAreaMakesTheSamePlace) {
    GeometryKit kit;
    const auto rectangle = [](double x, double width) {
        return MultiPolygon{{{{{x, 0}, {x + width, 0}, {x + width, 1}, {x, 1}, {x, 0}}, {}}}};
    };
    EXPECT_TRUE(kit.same_place(rectangle(0, 10), rectangle(4.9, 10)));
    EXPECT_FALSE(kit.same_place(rectangle(0, 10), rectangle(5, 10)));    // just half
    EXPECT_TRUE(kit.same_place(rectangle(0, 100), rectangle(99.4, 1)));  // of the smaller
    EXPECT_FALSE(kit.same_place(rectangle(0, 1), rectangle(1, 1)));
    EXPECT_FALSE(kit.same_place(rectangle(0, 1), {}));
}

}  // namespace
}  // namespace eaveshed
