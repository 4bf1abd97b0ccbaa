#include "eaveshed/geometry/wkb.hpp"

#include <cmath>
#include <cstring>
#include <limits>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogrsf_frmts.h>

namespace eaveshed {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;
using ::testing::SizeIs;

using Bytes = std::vector<unsigned char>;

Bytes wkb_of(const std::string& wkt, OGRwkbByteOrder order = wkbNDR, OGRwkbVariant variant = wkbVariantIso) {
    OGRGeometry* raw = nullptr;
    EXPECT_EQ(OGRGeometryFactory::createFromWkt(wkt.c_str(), nullptr, &raw), OGRERR_NONE) << wkt;
    const std::unique_ptr<OGRGeometry> geometry(raw);
    Bytes bytes(geometry->WkbSize());
    EXPECT_EQ(geometry->exportToWkb(order, bytes.data(), variant), OGRERR_NONE) << wkt;
    return bytes;
}

constexpr const char* kSquare = "POLYGON((0 0,4 0,4 4,0 4,0 0),(1 1,1 2,2 2,2 1,1 1))";

TEST(Wkb, BothByteOrdersAndBothWaysToWriteZReadTheSame) {
    const auto plain = wkb_polygons(wkb_of(kSquare));
    ASSERT_TRUE(plain);
    EXPECT_FALSE(plain->mended);
    ASSERT_THAT(plain->outline.parts, SizeIs(1));
    EXPECT_THAT(plain->outline.parts[0].outer,
                ElementsAre(Point{0, 0}, Point{4, 0}, Point{4, 4}, Point{0, 4}, Point{0, 0}));
    EXPECT_THAT(plain->outline.parts[0].holes, SizeIs(1));
    EXPECT_EQ(wkb_polygons(wkb_of(kSquare, wkbXDR))->outline, plain->outline);
    for (const char* const tag : {"Z", "M", "ZM"}) {
        const std::string more = std::string(tag).size() == 2 ? " 7 8" : " 7";
        std::string wkt = std::string("POLYGON ") + tag + " ((";
        for (const char* const point : {"0 0", "4 0", "4 4", "0 4", "0 0"}) {
            wkt += point + more + ",";
        }
        wkt.back() = ')';
        wkt += ",(1 1" + more + ",1 2" + more + ",2 2" + more + ",2 1" + more + ",1 1" + more + "))";
        EXPECT_EQ(wkb_polygons(wkb_of(wkt))->outline, plain->outline) << wkt;
        EXPECT_EQ(wkb_polygons(wkb_of(wkt, wkbXDR))->outline, plain->outline) << wkt;
    }
    EXPECT_EQ(wkb_polygons(wkb_of("POLYGON Z ((0 0 7,4 0 7,4 4 7,0 4 7,0 0 7),(1 1 7,1 2 7,2 2 7,2 1 7,1 1 7))", wkbNDR,
                                  wkbVariantOldOgc))
                  ->outline,
              plain->outline);
}

TEST(Wkb, TheOlderFormWithAReferenceSystemNumberIsUnderstood) {
    Bytes bytes = wkb_of("POINT(3 4)");
    bytes[4] = 0x20;
    const Bytes srid{0x62, 0x7F, 0, 0};
    bytes.insert(bytes.begin() + 5, srid.begin(), srid.end());
    EXPECT_THAT(wkb_points(bytes), ElementsAre(Point{3, 4}));
}

TEST(Wkb, CollectionsAreSearchedInOrder) {
    const auto found = wkb_polygons(
        wkb_of("GEOMETRYCOLLECTION(POINT(9 9),POLYGON((0 0,1 0,1 1,0 0)),LINESTRING(0 0,1 1),"
               "GEOMETRYCOLLECTION(MULTIPOLYGON(((2 0,3 0,3 1,2 0)),((4 0,5 0,5 1,4 0)))),MULTIPOINT(1 1,2 2))"));
    ASSERT_TRUE(found);
    ASSERT_THAT(found->outline.parts, SizeIs(3));
    EXPECT_EQ(found->outline.parts[0].outer[0], (Point{0, 0}));
    EXPECT_EQ(found->outline.parts[1].outer[0], (Point{2, 0}));
    EXPECT_EQ(found->outline.parts[2].outer[0], (Point{4, 0}));
    EXPECT_FALSE(found->mended);
}

TEST(Wkb, CurvesAndSurfacesInSpaceAreReadButHoldNoPolygon) {
    for (const char* const wkt : {
             "CURVEPOLYGON(COMPOUNDCURVE((0 0,1 0),CIRCULARSTRING(1 0,1 1,0 0)))",
             "MULTISURFACE(((0 0,1 0,1 1,0 0)),CURVEPOLYGON((2 0,3 0,3 1,2 0)))",
             "POLYHEDRALSURFACE Z (((0 0 0,1 0 0,1 1 0,0 0 0)))",
             "TIN Z (((0 0 0,1 0 0,1 1 0,0 0 0)))",
             "TRIANGLE ((0 0,1 0,1 1,0 0))",
         }) {
        const auto found = wkb_polygons(wkb_of(wkt));
        ASSERT_TRUE(found) << wkt;
        EXPECT_TRUE(found->outline.empty()) << wkt;
    }
}

TEST(Wkb, OpenRingsAreClosedAndShortOnesLeftOut) {
    const auto open = wkb_polygons(wkb_of("POLYGON((0 0,4 0,4 4))"));
    ASSERT_TRUE(open);
    EXPECT_TRUE(open->mended);
    EXPECT_THAT(open->outline.parts.at(0).outer, ElementsAre(Point{0, 0}, Point{4, 0}, Point{4, 4}, Point{0, 0}));
    const auto short_hole = wkb_polygons(wkb_of("POLYGON((0 0,4 0,4 4,0 0),(1 1,2 1,1 1))"));
    ASSERT_TRUE(short_hole);
    EXPECT_TRUE(short_hole->mended);
    EXPECT_THAT(short_hole->outline.parts.at(0).holes, IsEmpty());
    const auto no_outer = wkb_polygons(wkb_of("MULTIPOLYGON(((0 0,1 0,0 0),(5 5,6 5,6 6,5 5)),((2 0,3 0,3 1,2 0)))"));
    ASSERT_TRUE(no_outer);
    EXPECT_TRUE(no_outer->mended);
    ASSERT_THAT(no_outer->outline.parts, SizeIs(1));
    EXPECT_EQ(no_outer->outline.parts[0].outer[0], (Point{2, 0}));
}

TEST(Wkb, EmptyGeometriesHoldNothingAndAreNotMended) {
    for (const char* const wkt : {"POLYGON EMPTY", "MULTIPOLYGON EMPTY", "GEOMETRYCOLLECTION EMPTY", "POINT EMPTY"}) {
        const auto found = wkb_polygons(wkb_of(wkt));
        ASSERT_TRUE(found) << wkt;
        EXPECT_TRUE(found->outline.empty()) << wkt;
        EXPECT_FALSE(found->mended) << wkt;
    }
    EXPECT_THAT(wkb_points(wkb_of("POINT EMPTY")), IsEmpty());
    EXPECT_THAT(wkb_lines(wkb_of("LINESTRING EMPTY")), IsEmpty());
}

TEST(Wkb, BytesThatEndTooSoonOrClaimTooMuchAreNone) {
    const Bytes whole = wkb_of("MULTIPOLYGON(((0 0,4 0,4 4,0 0),(1 1,2 1,2 2,1 1)),((5 0,6 0,6 1,5 0)))");
    for (std::size_t length = 0; length < whole.size(); ++length) {
        EXPECT_FALSE(wkb_polygons({whole.data(), length})) << length;
    }
    Bytes absurd = wkb_of(kSquare);
    std::memset(&absurd[5], 0xFF, 4);  // 4 294 967 295 rings
    EXPECT_FALSE(wkb_polygons(absurd));
    absurd = wkb_of(kSquare);
    std::memset(&absurd[9], 0xFF, 4);  // as many points
    EXPECT_FALSE(wkb_polygons(absurd));
    absurd = wkb_of(kSquare);
    absurd[0] = 7;  // no byte order
    EXPECT_FALSE(wkb_polygons(absurd));
    absurd = wkb_of(kSquare);
    absurd[1] = 99;  // no geometry
    EXPECT_FALSE(wkb_polygons(absurd));
    EXPECT_FALSE(wkb_polygons({}));
}

// A collection in a collection in a collection ..., each with one part.
TEST(Wkb, NestingIsBounded) {
    const auto nested = [](int depth) {
        Bytes bytes;
        const Bytes head{1, 7, 0, 0, 0, 1, 0, 0, 0};
        for (int i = 0; i < depth; ++i) {
            bytes.insert(bytes.end(), head.begin(), head.end());
        }
        const Bytes polygon = wkb_of("POLYGON((0 0,1 0,1 1,0 0))");
        bytes.insert(bytes.end(), polygon.begin(), polygon.end());
        return bytes;
    };
    EXPECT_TRUE(wkb_polygons(nested(32)));
    EXPECT_FALSE(wkb_polygons(nested(33)));
    EXPECT_FALSE(wkb_polygons(nested(1000000)));
}

TEST(Wkb, LinesAndPointsAreFoundInCollectionsToo) {
    EXPECT_THAT(wkb_lines(wkb_of("LINESTRING Z (0 0 1,1 1 2)")), ElementsAre(Line{{0, 0}, {1, 1}}));
    EXPECT_THAT(wkb_lines(wkb_of("MULTILINESTRING((0 0,1 1),(2 2,3 3,4 4))")),
                ElementsAre(Line{{0, 0}, {1, 1}}, Line{{2, 2}, {3, 3}, {4, 4}}));
    EXPECT_THAT(wkb_lines(wkb_of(kSquare)), IsEmpty());
    EXPECT_THAT(wkb_lines(wkb_of("GEOMETRYCOLLECTION(POINT(9 9),LINESTRING(0 0,1 1),LINESTRING(5 5,6 6))")),
                ElementsAre(Line{{0, 0}, {1, 1}}, Line{{5, 5}, {6, 6}}));
    EXPECT_THAT(wkb_points(wkb_of("POINT(1 2)")), ElementsAre(Point{1, 2}));
    EXPECT_THAT(wkb_points(wkb_of("MULTIPOINT(3 4,5 6)")), ElementsAre(Point{3, 4}, Point{5, 6}));
    EXPECT_THAT(wkb_points(wkb_of("MULTIPOINT EMPTY")), IsEmpty());
    EXPECT_THAT(wkb_points(wkb_of("LINESTRING(0 0,1 1)")), IsEmpty());
    OGRLineString line;
    line.addPoint(0.0, 0.0);
    line.addPoint(std::numeric_limits<double>::infinity(), 1.0);
    Bytes bytes(line.WkbSize());
    ASSERT_EQ(line.exportToWkb(wkbNDR, bytes.data()), OGRERR_NONE);
    EXPECT_THAT(wkb_lines(bytes), IsEmpty());
}

}  // namespace
}  // namespace eaveshed
