// The plane geometry against GEOS, a library with twenty years of use, on shapes of every awkward kind.
#include <geos_c.h>
#include <gtest/gtest.h>

#include <cmath>

#include <memory>
#include <vector>

#include "eaveshed/shape/measure.hpp"
#include "eaveshed/shape/prepared_area.hpp"
#include "shape/random_shapes.hpp"

namespace eaveshed {
namespace {

using testing::point_in;
using testing::Random;

class Geos {
public:
    using Shape = std::unique_ptr<GEOSGeometry, void (*)(GEOSGeometry*)>;
    using Prepared = std::unique_ptr<const GEOSPreparedGeometry, void (*)(const GEOSPreparedGeometry*)>;

    Geos() { initGEOS(nullptr, nullptr); }
    ~Geos() { finishGEOS(); }
    Geos(const Geos&) = delete;
    Geos& operator=(const Geos&) = delete;

    static Shape owned(GEOSGeometry* geometry) { return {geometry, GEOSGeom_destroy}; }
    static Shape point(Point point) { return owned(GEOSGeom_createPointFromXY(point.x, point.y)); }
    static Shape shape(const MultiPolygon& outline) {
        std::vector<GEOSGeometry*> parts;
        for (const Polygon& part : outline.parts) {
            std::vector<GEOSGeometry*> holes;
            for (const Ring& hole : part.holes) {
                holes.push_back(GEOSGeom_createLinearRing(sequence(hole)));
            }
            parts.push_back(GEOSGeom_createPolygon(GEOSGeom_createLinearRing(sequence(part.outer)), holes.data(),
                                                   static_cast<unsigned>(holes.size())));
        }
        return owned(GEOSGeom_createCollection(GEOS_MULTIPOLYGON, parts.data(), static_cast<unsigned>(parts.size())));
    }

private:
    static GEOSCoordSequence* sequence(const Ring& ring) {
        GEOSCoordSequence* sequence = GEOSCoordSeq_create(static_cast<unsigned>(ring.size()), 2);
        for (unsigned i = 0; i < ring.size(); ++i) {
            GEOSCoordSeq_setXY(sequence, i, ring[i].x, ring[i].y);
        }
        return sequence;
    }
};

// Returns how many of the points lay on the boundary.
int expect_agreement(const MultiPolygon& outline, const std::vector<Point>& points) {
    const Geos::Shape shape = Geos::shape(outline);
    if (GEOSisValid(shape.get()) != 1) {
        ADD_FAILURE() << "the test made an invalid shape";
        return 0;
    }
    const Geos::Shape boundary = Geos::owned(GEOSBoundary(shape.get()));
    const Geos::Prepared indexed{GEOSPrepare(shape.get()), GEOSPreparedGeom_destroy};
    double area = 0.0;
    GEOSArea(shape.get(), &area);
    EXPECT_NEAR(planar_area(outline), area, 1e-9 * area);
    const PreparedArea prepared(outline);
    int on_boundary = 0;
    for (const Point point : points) {
        const Geos::Shape there = Geos::point(point);
        const bool inside = GEOSPreparedContains(indexed.get(), there.get()) == 1;
        const bool touching = GEOSPreparedIntersects(indexed.get(), there.get()) == 1;
        EXPECT_EQ(contains(outline, point), inside) << point.x << " " << point.y;
        EXPECT_EQ(prepared.contains(point), inside) << point.x << " " << point.y;
        double distance = -1.0;
        GEOSDistance(shape.get(), there.get(), &distance);
        EXPECT_NEAR(distance_to_area(outline, point), distance, 1e-9);
        EXPECT_EQ(distance_to_area(outline, point) == 0.0, touching);
        const Point nearest = nearest_point(outline, point).value();
        EXPECT_NEAR(std::hypot(nearest.x - point.x, nearest.y - point.y), distance, 1e-9);
        EXPECT_LT(distance_to_area(outline, nearest), 1e-9);
        GEOSDistance(boundary.get(), there.get(), &distance);
        EXPECT_NEAR(distance_to_edge(outline, point), distance, 1e-9);
        on_boundary += touching && !inside ? 1 : 0;
    }
    return on_boundary;
}

TEST(AgreementWithGeos, OnStarsWithHolesAndPartsFarFromTheOrigin) {
    const Geos geos;
    Random random = testing::seeded(41);
    for (int i = 0; i < 60; ++i) {
        const MultiPolygon outline = testing::star_outline(random, {5.1e5, 4.2e6}, 25.0, 8 + i);
        std::vector<Point> points(60);
        for (Point& point : points) {
            point = point_in(random, bounds(outline).grown(30.0, 30.0));
        }
        expect_agreement(outline, points);
    }
}

// Buildings with right angles, asked at every lattice point: on edges, on vertices, on the lines of edges.
TEST(AgreementWithGeos, OnRightAngledOutlinesAtPointsOfTheirOwnLattice) {
    const Geos geos;
    Random random = testing::seeded(42);
    int on_boundary = 0;
    for (int i = 0; i < 40; ++i) {
        const MultiPolygon outline = testing::one(testing::stair_ring(random, {0.0, 0.0}, 1 + i % 8));
        std::vector<Point> points;
        const Box box = bounds(outline).grown(2.0, 2.0);
        for (int x = static_cast<int>(box.x_min); x <= static_cast<int>(box.x_max); ++x) {
            for (int y = static_cast<int>(box.y_min); y <= static_cast<int>(box.y_max); ++y) {
                points.push_back({static_cast<double>(x), static_cast<double>(y)});
            }
        }
        on_boundary += expect_agreement(outline, points);
    }
    EXPECT_GT(on_boundary, 500);
}

// Points computed to lie on slanting edges: rounding puts them a hair to either side, where only exact arithmetic
// tells.
TEST(AgreementWithGeos, AtPointsAHairFromSlantingEdges) {
    const Geos geos;
    Random random = testing::seeded(43);
    for (int i = 0; i < 60; ++i) {
        const MultiPolygon outline = testing::star_outline(random, {5.1e5, 4.2e6}, 25.0, 12);
        std::vector<Point> points;
        const Ring& ring = outline.parts[0].outer;
        for (std::size_t v = 1; v < ring.size(); ++v) {
            const double share = testing::uniform(random, 0.0, 1.0);
            points.push_back({ring[v].x + share * (ring[v - 1].x - ring[v].x),  //
                              ring[v].y + share * (ring[v - 1].y - ring[v].y)});
            points.push_back(ring[v]);
        }
        expect_agreement(outline, points);
    }
}

TEST(AgreementWithGeos, OnAnOutlineOfAHundredThousandVertices) {
    const Geos geos;
    Random random = testing::seeded(44);
    const MultiPolygon outline = testing::one(testing::star_ring(random, {5.1e5, 4.2e6}, 4999.0, 5000.0, 100000));
    std::vector<Point> points(30);
    for (Point& point : points) {
        point = point_in(random, bounds(outline));
    }
    expect_agreement(outline, points);
}

}  // namespace
}  // namespace eaveshed
