// One roof among its neighbours: which ground belongs to it, what is built on, what is too near. Asked row by row of
// the terrain's cells, because whole runs of cells share their answer.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/shape/local_frame.hpp"
#include "eaveshed/shape/polygon.hpp"
#include "eaveshed/shape/prepared_area.hpp"
#include "eaveshed/shape/row_cover.hpp"

namespace eaveshed {

// A footprint with a geometry, in the terrain's CRS.
struct Building {
    std::uint64_t ordinal = 0;
    MultiPolygon outline;
    Box box = {};  // of the outline, where whoever made it has looked

    [[nodiscard]] Box bounds() const { return box.empty() ? eaveshed::bounds(outline) : box; }
};

// One place in both frames: containment is decided in the terrain's CRS, where the vertices have their own digits, and
// distances in metres.
struct Place {
    Point crs;
    Point metres;
};

// The footprints around a roof, in the terrain's CRS; the parcel is null for a roof without one.
struct Neighbourhood {
    const MultiPolygon* roof = nullptr;
    const MultiPolygon* parcel = nullptr;
    std::vector<const Building*> others;  // that may matter, the roof itself left out
};

// How far the questions reach.
struct Reaches {
    double roof_m = 0.0;     // from the roof
    double setback_m = 0.0;  // from boundaries and buildings
    double tanks_m = 0.0;    // of a tank from the cell that it is asked for
};

// Immutable after construction.
class Surroundings {
public:
    // `around` holds all cells within the roof's reach; `own` those of them that may belong to the roof: of a parcel
    // the cells of its box. Rows are asked for in `around`, boundary and buildings answer within `own`.
    Surroundings(const LocalFrame& frame, const Grid& grid, const CellRange& around, const Neighbourhood& near,
                 const Reaches& reaches);

    // Of a roof with a parcel, buildings farther from all cells of own() than this are of no account.
    [[nodiscard]] static double farthest_building_m(const Reaches& reaches) {
        constexpr double kRoundingM = 1.0;  // far more: the setback is compared in metres of the frame
        return reaches.setback_m + reaches.tanks_m + kRoundingM;
    }

    [[nodiscard]] const CellRange& around() const { return m_around; }
    [[nodiscard]] const CellRange& own() const { return m_own; }

    // Each replaces `out` with normal spans of the row.
    // At most `limit_m` (within the reach) from the roof.
    void near_roof(std::int64_t row, double limit_m, Spans& out) const;
    // Inside the parcel; without one all cells, of which belongs() tells.
    void in_parcel(std::int64_t row, Spans& out) const;
    // Nearer than `limit_m` (within the reach) to the parcel's edge, holes included; none without a parcel.
    void near_boundary(std::int64_t row, double limit_m, Spans& out) const;
    // Nearer than `limit_m` (within the reach, above 0) to any footprint, the roof included.
    void near_buildings(std::int64_t row, double limit_m, Spans& out) const;
    // The squared distances in m2 of the cells `cols` of a row, all of own(), from the edges of the parcel, of any
    // footprint, or of the roof alone; -1 inside a footprint for the second. Infinite, or any value of a distance
    // beyond the reach, where it is longer than that.
    void boundary_squares(std::int64_t row, const Span& cols, std::span<double> out) const;
    void building_squares(std::int64_t row, const Span& cols, std::span<double> out) const;
    void roof_squares(std::int64_t row, const Span& cols, std::span<double> out) const;
    // Inside any footprint, the roof included.
    void built_on(std::int64_t row, Spans& out) const;

    // Whether a cell that in_parcel gave belongs to the roof: without a parcel, when no other footprint is nearer.
    [[nodiscard]] bool belongs(const Place& place) const;

    // The same of any place within the reach of a cell's tanks.
    [[nodiscard]] bool has_parcel() const { return m_has_parcel; }
    [[nodiscard]] bool in_parcel(const Place& place) const;
    [[nodiscard]] bool near_boundary(const Place& place, double limit_m) const;
    [[nodiscard]] bool near_buildings(const Place& place, double limit_m) const;
    // Whether every cell of own() is at most so far from the roof; may say no where it is so.
    [[nodiscard]] bool all_near_roof(double limit_m) const { return m_farthest_own_m <= limit_m; }

    [[nodiscard]] double distance_to_roof_m(const Place& place) const { return m_roof.distance_to_area(place.metres); }

private:
    // In metres. Of few questions to one, hardly any comes nearer than its box.
    struct Footprint {
        MultiPolygon outline;
        Box box;
    };
    void edge_squares(const NearEdgesOfRow& edges, std::int64_t row, const Span& cols, std::span<double> out) const;

    LocalFrame m_frame;
    Grid m_grid;
    CellRange m_around;
    CellRange m_own;
    std::vector<double> m_x;  // of the own columns, in metres
    bool m_has_parcel = false;
    double m_farthest_own_m = 0.0;       // from one of the roof's corners
    PreparedArea m_roof;                 // in metres
    std::vector<PreparedArea> m_others;  // in metres, for a roof without a parcel
    PreparedArea m_parcel_area;          // in the terrain's CRS
    PreparedArea m_parcel_metres;
    std::vector<Footprint> m_near_buildings;  // without the roof
    NearEdgesOfRow m_roof_edges;
    InsideOfRow m_roof_inside;
    NearEdgesOfRow m_boundary;
    InsideOfRow m_parcel;
    NearEdgesOfRow m_building_edges;  // the roof's included
    InsideOfRow m_built;
};

}  // namespace eaveshed
