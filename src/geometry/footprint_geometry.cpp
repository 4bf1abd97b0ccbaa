#include "eaveshed/geometry/footprint_geometry.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#define GEOS_USE_ONLY_R_API
#include <geos_c.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/crs/crs.hpp"
#include "eaveshed/geometry/overhang_frame.hpp"
#include "eaveshed/geometry/wkb.hpp"
#include "eaveshed/shape/measure.hpp"

namespace eaveshed {

namespace {

constexpr double kMitreLimit = 5.0;   // of the corner's distance to the overhang
constexpr int kQuadrantSegments = 8;  // of round corners, which a mitred outline has none of
constexpr double kSharedPart = 0.5;   // of the smaller outline: more makes two outlines the same building's

// GEOS takes and gives pairs of doubles: a ring's points as they lie in memory.
static_assert(sizeof(Point) == 2 * sizeof(double));

struct DestroyGeometry {
    GEOSContextHandle_t context = nullptr;
    void operator()(GEOSGeometry* geometry) const noexcept { GEOSGeom_destroy_r(context, geometry); }
};
using Geometry = std::unique_ptr<GEOSGeometry, DestroyGeometry>;

// Beyond any place on the Earth in any unit. GEOS repairs shapes with coordinates of 1e178 without end.
constexpr double kFarthest = 1.0e12;

bool is_place(Point p) {  // false for what is not finite
    return std::abs(p.x) <= kFarthest && std::abs(p.y) <= kFarthest;
}

bool all_places(const Ring& ring) {
    return std::all_of(ring.begin(), ring.end(), is_place);
}

bool all_places(const MultiPolygon& outline) {
    return std::all_of(outline.parts.begin(), outline.parts.end(), [](const Polygon& part) {
        return all_places(part.outer) &&
               std::all_of(part.holes.begin(), part.holes.end(), [](const Ring& hole) { return all_places(hole); });
    });
}

// GEOS's context and what is built in it. Every failure inside GEOS shows as an empty handle.
class Geos {
public:
    Geos() : m_context(GEOS_init_r()) {}
    ~Geos() { GEOS_finish_r(m_context); }
    Geos(const Geos&) = delete;
    Geos& operator=(const Geos&) = delete;

    [[nodiscard]] GEOSContextHandle_t context() const { return m_context; }
    [[nodiscard]] Geometry own(GEOSGeometry* geometry) const { return Geometry(geometry, DestroyGeometry{m_context}); }

    [[nodiscard]] Geometry build(const MultiPolygon& outline) const {
        std::vector<GEOSGeometry*> parts;
        for (const Polygon& part : outline.parts) {
            if (GEOSGeometry* const polygon = build_part(part)) {
                parts.push_back(polygon);
            }
        }
        const auto count = static_cast<unsigned>(parts.size());
        Geometry whole = own(GEOSGeom_createCollection_r(m_context, GEOS_MULTIPOLYGON, parts.data(), count));
        return parts.size() == outline.parts.size() ? std::move(whole) : own(nullptr);
    }

    // The polygons of a geometry, collections searched, in order.
    void collect(const GEOSGeometry* geometry, MultiPolygon& into) const {
        const int type = GEOSGeomTypeId_r(m_context, geometry);
        if (type == GEOS_POLYGON) {
            if (GEOSisEmpty_r(m_context, geometry) == 0) {
                into.parts.push_back(part_of(geometry));
            }
        } else if (type == GEOS_MULTIPOLYGON || type == GEOS_GEOMETRYCOLLECTION) {
            for (int i = 0; i < GEOSGetNumGeometries_r(m_context, geometry); ++i) {
                collect(GEOSGetGeometryN_r(m_context, geometry, i), into);
            }
        }
    }

    // Zero for none.
    [[nodiscard]] double area(const Geometry& geometry) const {
        double area = 0.0;
        return geometry && GEOSArea_r(m_context, geometry.get(), &area) == 1 ? area : 0.0;
    }

private:
    [[nodiscard]] GEOSGeometry* build_ring(const Ring& ring) const {
        const auto size = static_cast<unsigned>(ring.size());
        const double* const numbers = ring.empty() ? nullptr : &ring.front().x;
        return GEOSGeom_createLinearRing_r(m_context, GEOSCoordSeq_copyFromBuffer_r(m_context, numbers, size, 0, 0));
    }

    [[nodiscard]] GEOSGeometry* build_part(const Polygon& part) const {
        Geometry outer = own(build_ring(part.outer));
        std::vector<GEOSGeometry*> holes;
        for (const Ring& hole : part.holes) {
            if (GEOSGeometry* const ring = build_ring(hole)) {
                holes.push_back(ring);
            }
        }
        if (!outer || holes.size() != part.holes.size()) {
            for (GEOSGeometry* hole : holes) {
                GEOSGeom_destroy_r(m_context, hole);
            }
            return nullptr;
        }
        return GEOSGeom_createPolygon_r(m_context, outer.release(), holes.data(), static_cast<unsigned>(holes.size()));
    }

    [[nodiscard]] Ring ring_of(const GEOSGeometry* line) const {
        const GEOSCoordSequence* const points = GEOSGeom_getCoordSeq_r(m_context, line);
        unsigned size = 0;
        if (points == nullptr || GEOSCoordSeq_getSize_r(m_context, points, &size) == 0 || size == 0) {
            return {};
        }
        Ring ring(size);
        GEOSCoordSeq_copyToBuffer_r(m_context, points, &ring.front().x, 0, 0);
        return ring;
    }

    [[nodiscard]] Polygon part_of(const GEOSGeometry* polygon) const {
        Polygon part;
        part.outer = ring_of(GEOSGetExteriorRing_r(m_context, polygon));
        for (int i = 0; i < GEOSGetNumInteriorRings_r(m_context, polygon); ++i) {
            part.holes.push_back(ring_of(GEOSGetInteriorRingN_r(m_context, polygon, i)));
        }
        return part;
    }

    GEOSContextHandle_t m_context;
};

}  // namespace

struct GeometryKit::Impl {
    Geos geos;
    std::optional<OverhangFrame> frame;
};

GeometryKit::GeometryKit() : m_impl(std::make_unique<Impl>()) {}
GeometryKit::~GeometryKit() = default;
GeometryKit::GeometryKit(GeometryKit&&) noexcept = default;
GeometryKit& GeometryKit::operator=(GeometryKit&&) noexcept = default;

std::optional<Repaired> GeometryKit::polygons(const std::vector<unsigned char>& wkb) {
    const Geos& geos = m_impl->geos;
    std::optional<WkbPolygons> read = wkb_polygons(wkb);
    if (!read || read->outline.empty() || !all_places(read->outline)) {
        return std::nullopt;
    }
    Geometry geometry = geos.build(read->outline);
    if (!geometry) {
        return std::nullopt;
    }
    Repaired result{std::move(read->outline), read->mended};
    if (GEOSisValid_r(geos.context(), geometry.get()) != 1) {
        geometry = geos.own(GEOSMakeValid_r(geos.context(), geometry.get()));
        result = {{}, true};
        if (geometry) {
            geos.collect(geometry.get(), result.outline);
            geometry = geos.build(result.outline);
        }
        // Where GEOS itself fails, as with coordinates of 1e-311.
        if (!geometry || GEOSisValid_r(geos.context(), geometry.get()) != 1) {
            return std::nullopt;
        }
    }
    const double area = geos.area(geometry);
    if (result.outline.empty() || !(area > 0.0) || !std::isfinite(area)) {
        return std::nullopt;
    }
    return result;
}

std::vector<Line> GeometryKit::lines(const std::vector<unsigned char>& wkb) {
    return wkb_lines(wkb);
}

std::vector<Point> GeometryKit::points(const std::vector<unsigned char>& wkb) {
    return wkb_points(wkb);
}

std::optional<Point> GeometryKit::point(const std::vector<unsigned char>& wkb) {
    return wkb_point(wkb);
}

Point GeometryKit::interior_point(const MultiPolygon& outline) {
    const Geos& geos = m_impl->geos;
    if (const Geometry geometry = geos.build(outline)) {
        const Geometry inside = geos.own(GEOSPointOnSurface_r(geos.context(), geometry.get()));
        Point point;
        if (inside && GEOSGeomGetX_r(geos.context(), inside.get(), &point.x) == 1 &&
            GEOSGeomGetY_r(geos.context(), inside.get(), &point.y) == 1 && is_place(point)) {
            return point;
        }
    }
    if (outline.empty() || outline.parts.front().outer.empty()) {
        internal_error("an interior point of an empty outline");
    }
    return outline.parts.front().outer.front();
}

std::string GeometryKit::normal_form(const MultiPolygon& outline) {
    const Geos& geos = m_impl->geos;
    // Plus zero: -0.0 equals 0.0 but has other bytes.
    const Geometry geometry = geos.build(mapped(outline, [](Point p) { return Point{p.x + 0.0, p.y + 0.0}; }));
    if (!geometry || GEOSNormalize_r(geos.context(), geometry.get()) != 0) {
        internal_error("the normal form of an outline that is not valid");
    }
    std::size_t size = 0;
    unsigned char* const bytes = GEOSGeomToWKB_buf_r(geos.context(), geometry.get(), &size);
    std::string form(bytes, bytes + size);
    GEOSFree_r(geos.context(), bytes);
    return form;
}

std::optional<MultiPolygon> GeometryKit::grown(const MultiPolygon& outline, double distance) {
    const Geos& geos = m_impl->geos;
    const Geometry geometry = geos.build(outline);
    if (!geometry) {
        return std::nullopt;
    }
    const Geometry buffer = geos.own(GEOSBufferWithStyle_r(geos.context(), geometry.get(), distance, kQuadrantSegments,
                                                           GEOSBUF_CAP_ROUND, GEOSBUF_JOIN_MITRE, kMitreLimit));
    MultiPolygon result;
    if (buffer) {
        geos.collect(buffer.get(), result);
    }
    if (result.empty()) {
        return std::nullopt;
    }
    return result;
}

double GeometryKit::overlap_area(const MultiPolygon& a, const MultiPolygon& b) {
    if (a.empty() || b.empty() || !bounds(a).intersects(bounds(b))) {
        return 0.0;
    }
    const Geos& geos = m_impl->geos;
    Geometry first = geos.build(a);
    Geometry second = geos.build(b);
    if (!first || !second) {
        return 0.0;
    }
    Geometry common = geos.own(GEOSIntersection_r(geos.context(), first.get(), second.get()));
    if (!common) {
        first = geos.own(GEOSMakeValid_r(geos.context(), first.get()));
        second = geos.own(GEOSMakeValid_r(geos.context(), second.get()));
        common = geos.own(first && second ? GEOSIntersection_r(geos.context(), first.get(), second.get()) : nullptr);
    }
    return geos.area(common);
}

bool GeometryKit::same_place(const MultiPolygon& a, const MultiPolygon& b) {
    return overlap_area(a, b) > kSharedPart * std::min(planar_area(a), planar_area(b));
}

std::optional<MultiPolygon> with_overhang(GeometryKit& kit, const MultiPolygon& outline, const Crs& crs,
                                          double overhang_m) {
    if (!crs.given() || crs.is_local() || outline.empty()) {
        return std::nullopt;
    }
    std::optional<OverhangFrame>& frame = kit.m_impl->frame;
    if (!frame || !frame->is_for(crs)) {
        frame.emplace(crs);
    }
    const std::optional<MultiPolygon> walls_m = frame->place(outline);
    const std::optional<MultiPolygon> roof_m = walls_m ? kit.grown(*walls_m, overhang_m) : std::nullopt;
    return roof_m ? frame->bring_back(*roof_m) : std::nullopt;
}

}  // namespace eaveshed
