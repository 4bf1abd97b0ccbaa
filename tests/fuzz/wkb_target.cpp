// Geometries: as WKB, or as a GeoPackage stores them. What is read has closed rings and lines of finite points, writes
// as WKB that reads the same, and is valid after a repair.
#include <algorithm>
#include <cmath>

#include "eaveshed/geometry/footprint_geometry.hpp"
#include "eaveshed/geometry/wkb.hpp"
#include "fuzz/target.hpp"
#include "fuzz/written_wkb.hpp"

namespace eaveshed::fuzz {

namespace {

bool finite(Point point) {
    return std::isfinite(point.x) && std::isfinite(point.y);
}

// Equal to the bit, whatever is no number.
bool same(const MultiPolygon& a, const MultiPolygon& b) {
    return wkb_of(a) == wkb_of(b);
}

void read_polygons(Bytes wkb) {
    const auto read = wkb_polygons(wkb);
    if (!read) {
        return;
    }
    const auto check = [](const Ring& ring) {
        require(ring.size() >= 4, "a ring of fewer than 4 points");
        require(ring.front() == ring.back() || !finite(ring.front()) || !finite(ring.back()), "an open ring");
    };
    for (const Polygon& part : read->outline.parts) {
        check(part.outer);
        for (const Ring& hole : part.holes) {
            check(hole);
        }
    }
    const auto again = wkb_polygons(wkb_of(read->outline));
    require(again && !again->mended && same(again->outline, read->outline), "polygons that read back as others");
}

void read_lines_and_points(Bytes wkb) {
    for (const Line& line : wkb_lines(wkb)) {
        require(line.size() >= 2 && std::all_of(line.begin(), line.end(), finite), "a line that is none");
        require(wkb_lines(wkb_of(line)) == std::vector<Line>{line}, "a line that reads back as another");
    }
    for (const Point& point : wkb_points(wkb)) {
        require(finite(point), "a point that is nowhere");
    }
}

void repair(Bytes wkb) {
    static GeometryKit kit;
    const auto repaired = kit.polygons({wkb.begin(), wkb.end()});
    if (!repaired) {
        return;
    }
    require(!repaired->outline.empty(), "a repair that left nothing");
    for (const Polygon& part : repaired->outline.parts) {
        require(part.outer.size() >= 4 && part.outer.front() == part.outer.back(), "a repaired ring that is open");
        require(std::all_of(part.outer.begin(), part.outer.end(), finite), "a repaired ring that is nowhere");
    }
    const Point inside = kit.interior_point(repaired->outline);
    require(finite(inside), "an interior point that is nowhere");
    const std::string form = kit.normal_form(repaired->outline);
    const auto again = kit.polygons(wkb_of(repaired->outline));
    require(again && !again->repaired && kit.normal_form(again->outline) == form, "a repair that needs another");
}

}  // namespace

void fuzz_wkb(Bytes bytes) {
    const auto stored = geopackage_wkb(bytes);
    const Bytes wkb = stored ? *stored : bytes;
    read_polygons(wkb);
    read_lines_and_points(wkb);
    repair(wkb);
}

}  // namespace eaveshed::fuzz
