#include "eaveshed/vicinity/surroundings.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "eaveshed/shape/measure.hpp"

namespace eaveshed {

namespace {

CellRange own_cells(const Grid& grid, const CellRange& around, const MultiPolygon* parcel) {
    return parcel == nullptr ? around : around.common_with(grid.cells_around(bounds(*parcel)));
}

// The box of the cells' centres, in the grid's CRS.
Box centres(const Grid& grid, const CellRange& range) {
    Box box;
    if (!range.empty()) {
        box.add(grid.centre({range.row_begin, range.col_begin}));
        box.add(grid.centre({range.row_end - 1, range.col_end - 1}));
    }
    return box;
}

// The farthest of the box from a point: one of its corners is.
double farthest_m(const LocalFrame& frame, const Box& box, Point from_metres) {
    double farthest = 0.0;
    for (const double x : {box.x_min, box.x_max}) {
        for (const double y : {box.y_min, box.y_max}) {
            const Point corner = frame.to_metres(Point{x, y});
            farthest = std::max(farthest, std::hypot(corner.x - from_metres.x, corner.y - from_metres.y));
        }
    }
    return farthest;
}

constexpr double kBoxSlackM = 1e-6;  // more than the rounding of a distance that matters

double distance_to_box_m(const Box& box, Point point) {
    const double dx = std::max({box.x_min - point.x, 0.0, point.x - box.x_max});
    const double dy = std::max({box.y_min - point.y, 0.0, point.y - box.y_max});
    return std::sqrt(dx * dx + dy * dy);
}

}  // namespace

Surroundings::Surroundings(const LocalFrame& frame, const Grid& grid, const CellRange& around,
                           const Neighbourhood& near, const Reaches& reaches)
    : m_frame(frame),
      m_grid(grid),
      m_around(around),
      m_own(own_cells(grid, around, near.parcel)),
      m_has_parcel(near.parcel != nullptr),
      m_roof_edges(frame, grid, around),
      m_roof_inside(grid, around),
      m_boundary(frame, grid, m_own),
      m_parcel(grid, m_own),
      m_building_edges(frame, grid, m_own),
      m_built(grid, m_own) {
    for (std::int64_t col = m_own.col_begin; col < m_own.col_end; ++col) {
        m_x.push_back(frame.to_metres(grid.centre({m_own.row_begin, col})).x);
    }
    const MultiPolygon roof_metres = frame.to_metres(*near.roof);
    m_roof = PreparedArea(roof_metres);
    if (!m_own.empty()) {
        m_farthest_own_m = farthest_m(frame, centres(grid, m_own), roof_metres.parts.front().outer.front());
    }
    m_roof_edges.add(roof_metres, reaches.roof_m);
    m_roof_inside.add(*near.roof);
    m_building_edges.add(roof_metres, reaches.setback_m);
    m_built.add(*near.roof);
    if (near.parcel != nullptr) {
        const MultiPolygon parcel_metres = frame.to_metres(*near.parcel);
        m_boundary.add(parcel_metres, reaches.setback_m);
        m_parcel.add(*near.parcel);
        m_parcel_area = PreparedArea(*near.parcel);
        m_parcel_metres = PreparedArea(parcel_metres);
    }
    const double reach_m = farthest_building_m(reaches);
    const Box reached = centres(grid, m_own).grown(reach_m / frame.metres_per_x, reach_m / frame.metres_per_y);
    for (const Building* const other : near.others) {
        const bool near_own = !m_own.empty() && other->bounds().intersects(reached);
        if (!near_own && m_has_parcel) {
            continue;
        }
        MultiPolygon metres = frame.to_metres(other->outline);
        if (near_own) {
            m_building_edges.add(metres, reaches.setback_m);
            m_built.add(other->outline);
        }
        if (!m_has_parcel) {
            m_others.emplace_back(metres);
        }
        if (near_own) {
            const Box box = eaveshed::bounds(metres);
            m_near_buildings.push_back({std::move(metres), box});
        }
    }
    // The nearest first: it is the likeliest to be nearer to a cell than the roof is.
    const Point middle = m_roof.box().middle();
    std::ranges::sort(m_others, {}, [&](const PreparedArea& other) { return distance_to_box_m(other.box(), middle); });
}

void Surroundings::near_roof(std::int64_t row, double limit_m, Spans& out) const {
    out.clear();
    m_roof_edges.find_within(row, limit_m, out);
    m_roof_inside.find(row, out);
    normalise(out);
}

void Surroundings::in_parcel(std::int64_t row, Spans& out) const {
    out.clear();
    if (row < m_own.row_begin || row >= m_own.row_end) {
        return;
    }
    if (m_has_parcel) {
        m_parcel.find(row, out);
    } else {
        out.assign(1, Span{m_own.col_begin, m_own.col_end});
    }
    normalise(out);
}

void Surroundings::near_boundary(std::int64_t row, double limit_m, Spans& out) const {
    out.clear();
    m_boundary.find_nearer(row, limit_m, out);
    normalise(out);
}

void Surroundings::near_buildings(std::int64_t row, double limit_m, Spans& out) const {
    out.clear();
    m_building_edges.find_nearer(row, limit_m, out);
    m_built.find(row, out);
    normalise(out);
}

void Surroundings::edge_squares(const NearEdgesOfRow& edges, std::int64_t row, const Span& cols,
                                std::span<double> out) const {
    std::ranges::fill(out, std::numeric_limits<double>::infinity());
    const double y = m_frame.to_metres(m_grid.centre({row, cols.begin})).y;
    edges.lower_squares(y, std::span(m_x).subspan(static_cast<std::size_t>(cols.begin - m_own.col_begin), out.size()),
                        out);
}

void Surroundings::boundary_squares(std::int64_t row, const Span& cols, std::span<double> out) const {
    edge_squares(m_boundary, row, cols, out);
}

void Surroundings::building_squares(std::int64_t row, const Span& cols, std::span<double> out) const {
    edge_squares(m_building_edges, row, cols, out);
    Spans built;
    m_built.find(row, built);
    for (const Span& span : built) {
        const std::int64_t begin = std::max(span.begin, cols.begin);
        if (const std::int64_t end = std::min(span.end, cols.end); begin < end) {
            std::ranges::fill(
                out.subspan(static_cast<std::size_t>(begin - cols.begin), static_cast<std::size_t>(end - begin)), -1.0);
        }
    }
}

void Surroundings::roof_squares(std::int64_t row, const Span& cols, std::span<double> out) const {
    edge_squares(m_roof_edges, row, cols, out);
}

void Surroundings::built_on(std::int64_t row, Spans& out) const {
    out.clear();
    m_built.find(row, out);
    normalise(out);
}

bool Surroundings::belongs(const Place& place) const {
    const double own = m_others.empty() ? 0.0 : distance_to_roof_m(place);
    return std::ranges::none_of(m_others, [&](const PreparedArea& other) {
        return distance_to_box_m(other.box(), place.metres) <= own + kBoxSlackM &&
               other.distance_to_area_within(place.metres, own) < own;
    });
}

bool Surroundings::in_parcel(const Place& place) const {
    return !m_has_parcel || m_parcel_area.contains(place.crs);
}

bool Surroundings::near_boundary(const Place& place, double limit_m) const {
    return m_has_parcel && limit_m > 0.0 && m_parcel_metres.distance_to_edge_within(place.metres, limit_m) < limit_m;
}

bool Surroundings::near_buildings(const Place& place, double limit_m) const {
    const auto near = [&](const Footprint& building) {
        return distance_to_box_m(building.box, place.metres) <= limit_m + kBoxSlackM &&
               distance_to_area(building.outline, place.metres) < limit_m;
    };
    return limit_m > 0.0 && (m_roof.distance_to_area_within(place.metres, limit_m) < limit_m ||
                             std::ranges::any_of(m_near_buildings, near));
}

}  // namespace eaveshed
