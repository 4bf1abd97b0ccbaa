// What only GEOS does well: repair, interior points, equality, growing, overlap. Not thread-safe: one per worker.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "eaveshed/shape/polygon.hpp"

namespace eaveshed {

class Crs;
class GeometryKit;

// The roof over the walls: grown by `overhang_m` in a transverse-Mercator frame on the CRS's own ellipsoid centred on
// the outline's centroid (of its longitudes and latitudes), and brought back to `crs`. None when it cannot be done: a
// local CRS, a place the CRS does not reach, GEOS gives up. The kit keeps the transformations of the CRS it saw last.
// method.md 1.2.
[[nodiscard]] std::optional<MultiPolygon> with_overhang(GeometryKit& kit, const MultiPolygon& outline, const Crs& crs,
                                                        double overhang_m);

struct Repaired {
    MultiPolygon outline;  // in input order of parts and rings
    bool repaired = false;
};

class GeometryKit {
public:
    GeometryKit();
    ~GeometryKit();
    GeometryKit(GeometryKit&& other) noexcept;
    GeometryKit& operator=(GeometryKit&& other) noexcept;

    // The polygonal part of a WKB geometry, Z and M dropped, made valid (GEOS MakeValid, linework mode) where it is
    // not. A ring that is not closed is closed and one too short to bound an area is left out: repaired, too. None
    // where nothing polygonal and no area is left, where a coordinate is not finite or beyond 1e12, and where GEOS
    // cannot mend it.
    // method.md 1.1.
    [[nodiscard]] std::optional<Repaired> polygons(const std::vector<unsigned char>& wkb);
    // Lines of a geometry, collections searched, in order; empty for one without.
    [[nodiscard]] std::vector<Line> lines(const std::vector<unsigned char>& wkb);
    // The same of points.
    [[nodiscard]] std::vector<Point> points(const std::vector<unsigned char>& wkb);
    // The first of these; none for a geometry without.
    [[nodiscard]] std::optional<Point> point(const std::vector<unsigned char>& wkb);

    // A point inside (GEOS PointOnSurface), the first vertex where GEOS finds none. The outline is valid and not empty.
    [[nodiscard]] Point interior_point(const MultiPolygon& outline);
    // Bytes that are equal exactly when the normalised multipolygons are equal: start of a ring, direction and order of
    // rings and parts do not count, every vertex does.
    [[nodiscard]] std::string normal_form(const MultiPolygon& outline);
    // Grown by `distance` with mitred corners (limit 5). None when GEOS gives up.
    [[nodiscard]] std::optional<MultiPolygon> grown(const MultiPolygon& outline, double distance);
    // Area common to both, planar, of outlines that are valid; 0 where GEOS gives up on them even after a repair.
    [[nodiscard]] double overlap_area(const MultiPolygon& a, const MultiPolygon& b);
    // Whether two outlines are taken for the same building or parcel, issued again: more than half of the
    // smaller area is common to both.
    // method.md 9.5.
    [[nodiscard]] bool same_place(const MultiPolygon& a, const MultiPolygon& b);

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;

    friend std::optional<MultiPolygon> with_overhang(GeometryKit& kit, const MultiPolygon& outline, const Crs& crs,
                                                     double overhang_m);
};

}  // namespace eaveshed
