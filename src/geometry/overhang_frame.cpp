#include "eaveshed/geometry/overhang_frame.hpp"

#include <cmath>
#include <numbers>
#include <string>
#include <utility>
#include <vector>

#include <fmt/format.h>
#include <proj.h>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

constexpr double kRadiansPerDegree = std::numbers::pi / 180.0;

struct DestroyContext {
    void operator()(PJ_CONTEXT* context) const noexcept { proj_context_destroy(context); }
};
struct DestroyOperation {
    void operator()(PJ* operation) const noexcept { proj_destroy(operation); }
};
using Operation = std::unique_ptr<PJ, DestroyOperation>;

template <typename F>
void for_each_ring(MultiPolygon& outline, F&& f) {
    for (Polygon& part : outline.parts) {
        f(part.outer);
        for (Ring& hole : part.holes) {
            f(hole);
        }
    }
}

// Brings every longitude within half a turn of the first: an outline across the antimeridian stays in one piece.
void unwrap(MultiPolygon& lon_lat_deg, double near_lon_deg) {
    lon_lat_deg = mapped(std::move(lon_lat_deg), [near_lon_deg](Point p) {
        return Point{p.x - 360.0 * std::round((p.x - near_lon_deg) / 360.0), p.y};
    });
}

// Of the plane figure, holes subtracted; the middle of the vertices' box where there is no area.
Point centroid(const MultiPolygon& outline) {
    const Point origin = outline.parts.front().outer.front();
    double twice_area = 0.0;
    Point moment;
    const auto add = [&](const Ring& ring, double sign) {
        double ring_area = 0.0;
        Point ring_moment;
        for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
            const Point a{ring[i].x - origin.x, ring[i].y - origin.y};
            const Point b{ring[i + 1].x - origin.x, ring[i + 1].y - origin.y};
            const double cross = a.x * b.y - b.x * a.y;
            ring_area += cross;
            ring_moment.x += cross * (a.x + b.x);
            ring_moment.y += cross * (a.y + b.y);
        }
        const double turn = ring_area < 0.0 ? -sign : sign;
        twice_area += turn * ring_area;
        moment.x += turn * ring_moment.x;
        moment.y += turn * ring_moment.y;
    };
    for (const Polygon& part : outline.parts) {
        add(part.outer, 1.0);
        for (const Ring& hole : part.holes) {
            add(hole, -1.0);
        }
    }
    const Point centre{origin.x + moment.x / (3.0 * twice_area), origin.y + moment.y / (3.0 * twice_area)};
    if (twice_area > 0.0 && std::isfinite(centre.x) && std::isfinite(centre.y)) {
        return centre;
    }
    return bounds(outline).middle();
}

}  // namespace

struct OverhangFrame::Impl {
    explicit Impl(const Crs& outlines)
        : crs(outlines),
          ellipsoid(outlines.ellipsoid()),
          to_geographic(outlines, outlines.geographic(), "footprints"),
          from_geographic(outlines.geographic(), outlines, "footprints"),
          degrees_per_unit(outlines.geographic().degrees_per_unit()),
          context(proj_context_create()) {
        proj_context_set_enable_network(context.get(), 0);
        proj_log_level(context.get(), PJ_LOG_NONE);
    }

    Crs crs;
    Ellipsoid ellipsoid;
    Transform to_geographic;
    Transform from_geographic;
    double degrees_per_unit;
    std::unique_ptr<PJ_CONTEXT, DestroyContext> context;
    Point centre_deg;    // of the last outline: longitude (not wrapped), latitude
    Operation mercator;  // around it

    [[nodiscard]] Operation mercator_here() const {
        const std::string text = fmt::format(
            "+proj=tmerc +lat_0={:.17g} +lon_0={:.17g} +k=1 +x_0=0 +y_0=0 +a={:.17g} +f={:.17g}", centre_deg.y,
            std::remainder(centre_deg.x, 360.0), ellipsoid.semi_major_m, ellipsoid.flattening);
        Operation operation(proj_create(context.get(), text.c_str()));
        if (!operation) {
            internal_error("a transverse Mercator projection could not be made");
        }
        return operation;
    }

    // False when a vertex fails.
    [[nodiscard]] static bool project(PJ* operation, PJ_DIRECTION direction, MultiPolygon& outline) {
        const double in = direction == PJ_FWD ? kRadiansPerDegree : 1.0;
        const double out = direction == PJ_FWD ? 1.0 : kRadiansPerDegree;
        bool all = true;
        for_each_ring(outline, [&](Ring& ring) {
            for (Point& point : ring) {
                const PJ_COORD moved =
                    proj_trans(operation, direction, proj_coord(point.x * in, point.y * in, 0.0, 0.0));
                point = {moved.xy.x / out, moved.xy.y / out};
                all = all && std::isfinite(point.x) && std::isfinite(point.y);
            }
        });
        return all;
    }
};

OverhangFrame::OverhangFrame(const Crs& crs) : m_impl(std::make_unique<Impl>(crs)) {}
OverhangFrame::~OverhangFrame() = default;
OverhangFrame::OverhangFrame(OverhangFrame&&) noexcept = default;
OverhangFrame& OverhangFrame::operator=(OverhangFrame&&) noexcept = default;

bool OverhangFrame::is_for(const Crs& crs) const {
    return m_impl->crs.same_as(crs);
}

std::optional<MultiPolygon> OverhangFrame::place(const MultiPolygon& outline) {
    std::optional<MultiPolygon> geographic = m_impl->to_geographic(outline);
    if (!geographic || geographic->empty() || geographic->parts.front().outer.empty()) {
        return std::nullopt;
    }
    const double scale = m_impl->degrees_per_unit;
    MultiPolygon placed = mapped(std::move(*geographic), [scale](Point p) { return Point{p.x * scale, p.y * scale}; });
    unwrap(placed, placed.parts.front().outer.front().x);
    m_impl->centre_deg = centroid(placed);
    m_impl->mercator = m_impl->mercator_here();
    if (!Impl::project(m_impl->mercator.get(), PJ_FWD, placed)) {
        return std::nullopt;
    }
    return placed;
}

std::optional<MultiPolygon> OverhangFrame::bring_back(const MultiPolygon& outline_m) const {
    MultiPolygon degrees = outline_m;
    if (!m_impl->mercator || !Impl::project(m_impl->mercator.get(), PJ_INV, degrees)) {
        return std::nullopt;
    }
    unwrap(degrees, m_impl->centre_deg.x);
    const double scale = m_impl->degrees_per_unit;
    return m_impl->from_geographic(mapped(std::move(degrees), [scale](Point p) {
        return Point{p.x / scale, p.y / scale};
    }));
}

}  // namespace eaveshed
