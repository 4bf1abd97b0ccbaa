#include "eaveshed/package/geopackage_geometry.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogr_geometry.h>

#include <cstring>
#include <memory>

namespace eaveshed {
namespace {

using ::testing::ElementsAre;

// OGC 12-128r17, clause 2.1.3: magic "GP", version 0, flags, srs_id, envelope.
constexpr std::size_t kHeader = 8;
constexpr std::size_t kEnvelope = 32;

double real_at(const std::vector<unsigned char>& bytes, std::size_t offset) {
    double value = 0.0;
    std::memcpy(&value, bytes.data() + offset, sizeof value);
    return value;
}

// As GDAL reads the WKB behind the header.
std::unique_ptr<OGRGeometry> read(const std::vector<unsigned char>& bytes, std::size_t offset) {
    OGRGeometry* geometry = nullptr;
    EXPECT_EQ(OGRGeometryFactory::createFromWkb(bytes.data() + offset, nullptr, &geometry, bytes.size() - offset),
              OGRERR_NONE);
    return std::unique_ptr<OGRGeometry>(geometry);
}

std::string wkt(const OGRGeometry& geometry) {
    OGRWktOptions options;
    options.variant = wkbVariantIso;
    return geometry.exportToWkt(options);
}

MultiPolygon two_parts_with_a_hole() {
    const Polygon first{{{0, 0}, {10, 0}, {10, 10}, {0, 10}, {0, 0}}, {{{1, 1}, {1, 2}, {2, 2}, {1, 1}}}};
    const Polygon second{{{20, -5}, {30, -5}, {30, 5}, {20, -5}}, {}};
    return {{first, second}};
}

TEST(GeopackageGeometry, AMultiPolygonHasHeaderAndEnvelopeOfTheStandard) {
    const auto bytes = geopackage_geometry(two_parts_with_a_hole(), 32610);
    const std::vector<unsigned char> head(bytes.begin(), bytes.begin() + kHeader);
    EXPECT_THAT(head, ElementsAre('G', 'P', 0, 0b00000011, 0x62, 0x7F, 0, 0));  // little-endian, xy envelope; 0x7F62
    EXPECT_EQ(real_at(bytes, 8), 0.0);                                          // min x
    EXPECT_EQ(real_at(bytes, 16), 30.0);                                        // max x
    EXPECT_EQ(real_at(bytes, 24), -5.0);                                        // min y
    EXPECT_EQ(real_at(bytes, 32), 10.0);                                        // max y
}

TEST(GeopackageGeometry, GdalReadsTheMultiPolygonAsItWas) {
    const auto geometry = read(geopackage_geometry(two_parts_with_a_hole(), 32610), kHeader + kEnvelope);
    EXPECT_EQ(wkt(*geometry),
              "MULTIPOLYGON (((0 0,10 0,10 10,0 10,0 0),(1 1,1 2,2 2,1 1)),((20 -5,30 -5,30 5,20 -5)))");
    EXPECT_EQ(geometry->getGeometryType(), wkbMultiPolygon);
}

TEST(GeopackageGeometry, GdalWouldWriteTheSameBytes) {
    OGRGeometry* geometry = nullptr;
    const char* const text = "MULTIPOLYGON (((0.1 0.2,10 0,10 10,0.1 0.2)))";
    ASSERT_EQ(OGRGeometryFactory::createFromWkt(text, nullptr, &geometry), OGRERR_NONE);
    const std::unique_ptr<OGRGeometry> owner(geometry);
    std::vector<unsigned char> expected(owner->WkbSize());
    owner->exportToWkb(wkbNDR, expected.data(), wkbVariantIso);
    const auto bytes = geopackage_geometry(MultiPolygon{{{{{0.1, 0.2}, {10, 0}, {10, 10}, {0.1, 0.2}}, {}}}}, 4326);
    EXPECT_EQ(std::vector<unsigned char>(bytes.begin() + kHeader + kEnvelope, bytes.end()), expected);
}

TEST(GeopackageGeometry, APointHasZAndNoEnvelope) {
    const auto bytes = geopackage_geometry(Point{1.5, -2.5}, 101.25, -1);
    const std::vector<unsigned char> head(bytes.begin(), bytes.begin() + kHeader);
    EXPECT_THAT(head, ElementsAre('G', 'P', 0, 1, 0xFF, 0xFF, 0xFF, 0xFF));
    const auto geometry = read(bytes, kHeader);
    EXPECT_EQ(wkt(*geometry), "POINT Z (1.5 -2.5 101.25)");
    std::vector<unsigned char> expected(geometry->WkbSize());
    geometry->exportToWkb(wkbNDR, expected.data(), wkbVariantIso);
    EXPECT_EQ(std::vector<unsigned char>(bytes.begin() + kHeader, bytes.end()), expected);
}

TEST(GeopackageGeometry, ALineIsReadBackPointByPoint) {
    const Line line{{0.5, -3.5}, {10.25, 7.5}, {4.0, 20.0}, {4.0, 20.0}};
    const auto bytes = geopackage_geometry(line, 32610);
    const std::vector<unsigned char> head(bytes.begin(), bytes.begin() + kHeader);
    EXPECT_THAT(head, ElementsAre('G', 'P', 0, 0b00000011, 0x62, 0x7F, 0, 0));
    EXPECT_EQ(real_at(bytes, 8), 0.5);
    EXPECT_EQ(real_at(bytes, 16), 10.25);
    EXPECT_EQ(real_at(bytes, 24), -3.5);
    EXPECT_EQ(real_at(bytes, 32), 20.0);
    const auto geometry = read(bytes, kHeader + kEnvelope);
    EXPECT_EQ(wkt(*geometry), "LINESTRING (0.5 -3.5,10.25 7.5,4 20,4 20)");
    EXPECT_EQ(geometry->getGeometryType(), wkbLineString);
    std::vector<unsigned char> expected(geometry->WkbSize());
    geometry->exportToWkb(wkbNDR, expected.data(), wkbVariantIso);
    EXPECT_EQ(std::vector<unsigned char>(bytes.begin() + kHeader + kEnvelope, bytes.end()), expected);
}

}  // namespace
}  // namespace eaveshed
