#include "eaveshed/property/map.hpp"

#include <algorithm>
#include <cmath>

#include "eaveshed/shape/segment.hpp"

namespace eaveshed {

namespace {

// Far off it is no part of the picture.
constexpr double kFarUseM = 250.0;

std::optional<Point> use_place(const ParcelExplanation& parcel) {
    const bool known = !parcel.members.empty() && parcel.roofs[parcel.owner].use_point;
    return known ? std::optional(parcel.roofs[parcel.owner].use_point->place) : std::nullopt;
}

// Around the pad, else the first roof with an outline, else the parcel's middle.
std::optional<LocalFrame> frame_of(const ParcelExplanation& parcel, const TileParcel& outline,
                                   const std::vector<TileRoof>& roofs, const TileInput& tile) {
    if (parcel.pad) {
        return tile.metric.frame_at(parcel.pad->pad.place.crs);
    }
    for (const TileRoof& roof : roofs) {
        if (!roof.outline.empty()) {
            return tile.metric.frame_at(roof.interior);
        }
    }
    if (outline.outline.empty()) {
        return std::nullopt;
    }
    return tile.metric.frame_at(bounds(outline.outline).middle());
}

Box cut_to(const Box& box, const Box& limits) {
    return {std::max(box.x_min, limits.x_min), std::max(box.y_min, limits.y_min), std::min(box.x_max, limits.x_max),
            std::min(box.y_max, limits.y_max)};
}

// In local metres.
Box extent_of(const ParcelExplanation& parcel, const TileParcel& outline, const std::vector<TileRoof>& roofs,
              const LocalFrame& frame) {
    Box box;
    for (const TileRoof& roof : roofs) {
        if (!roof.outline.empty()) {
            box.add(bounds(frame.to_metres(roof.outline)));
        }
    }
    if (parcel.pad) {
        for (const StandingTank& tank : parcel.pad->tanks) {
            Box ground;
            ground.add(frame.to_metres(tank.centre.crs));
            box.add(ground.grown(parcel.pad->pad.pad_radius_m, parcel.pad->pad.pad_radius_m));
        }
    }
    if (const auto use = use_place(parcel)) {
        const Point metres = frame.to_metres(*use);
        if (std::hypot(metres.x, metres.y) <= kFarUseM) {
            box.add(metres);
        }
    }
    if (!outline.outline.empty()) {
        const Box whole = bounds(frame.to_metres(outline.outline));
        if (box.empty()) {
            box.add(Point{0.0, 0.0});
        }
        box.add(cut_to(whole, box.grown(kMapParcelM, kMapParcelM)));
    }
    return box.grown(kMapRimM, kMapRimM);
}

ElevationLattice lattice_of(const Box& extent, const LocalFrame& frame, const TileInput& tile) {
    const double longest_m = std::max(extent.x_max - extent.x_min, extent.y_max - extent.y_min);
    const CellSides sides = cell_sides(tile.terrain.grid(), tile.metric, frame.origin);
    ElevationLattice lattice;
    lattice.north_west = {extent.x_min, extent.y_max};
    lattice.step_m = std::max(sides.smaller_m(), longest_m / static_cast<double>(kMapNodes - 1));
    const auto nodes = [&](double side_m) {
        constexpr double kWhole = 1e-9;  // what rounding adds to a whole number of steps is no step
        return static_cast<std::size_t>(std::floor(side_m / lattice.step_m + kWhole)) + 1;
    };
    lattice.rows = nodes(extent.y_max - extent.y_min);
    lattice.cols = nodes(extent.x_max - extent.x_min);
    lattice.elev_m.reserve(lattice.rows * lattice.cols);
    for (std::size_t row = 0; row < lattice.rows; ++row) {
        for (std::size_t col = 0; col < lattice.cols; ++col) {
            const Point node{lattice.north_west.x + static_cast<double>(col) * lattice.step_m,
                             lattice.north_west.y - static_cast<double>(row) * lattice.step_m};
            lattice.elev_m.push_back(tile.terrain.sample(frame.from_metres(node)));
        }
    }
    return lattice;
}

class MapMaker {
public:
    MapMaker(const ParcelExplanation& parcel, const std::vector<TileRoof>& roofs, const TileInput& tile,
             PropertyMap& map)
        : m_parcel(parcel), m_roofs(roofs), m_tile(tile), m_map(map) {}

    void add_surroundings();
    void add_storage();
    void add_garden();

private:
    const ParcelExplanation& m_parcel;
    const std::vector<TileRoof>& m_roofs;
    const TileInput& m_tile;
    PropertyMap& m_map;
};

void MapMaker::add_surroundings() {
    const auto seen = [this](const Box& box) { return box.intersects(m_map.extent); };
    for (const Building& building : m_tile.buildings) {
        const bool own = std::ranges::find(m_roofs, building.ordinal, &TileRoof::ordinal) != m_roofs.end();
        MultiPolygon metres = m_map.frame.to_metres(building.outline);
        if (!own && seen(bounds(metres))) {
            m_map.others.push_back(std::move(metres));
        }
    }
    for (const Obstacle& obstacle : m_tile.obstacles) {
        if (!obstacle.line.empty()) {
            Line metres = m_map.frame.to_metres(obstacle.line);
            if (seen(bounds(metres))) {
                (obstacle.layer == 0 ? m_map.streams : m_map.exclusion_lines).push_back(std::move(metres));
            }
        } else if (MultiPolygon metres = m_map.frame.to_metres(obstacle.area); seen(bounds(metres))) {
            m_map.exclusions.push_back(std::move(metres));
        }
    }
    for (const Line& road : m_tile.roads.lines()) {
        Line metres = m_map.frame.to_metres(road);
        if (seen(bounds(metres))) {
            m_map.roads.push_back(std::move(metres));
        }
    }
}

void MapMaker::add_storage() {
    if (const auto use = use_place(m_parcel)) {
        m_map.use_point = m_map.frame.to_metres(*use);
    }
    if (!m_parcel.pad) {
        return;
    }
    m_map.pad = m_map.frame.to_metres(m_parcel.pad->pad.place.crs);
    m_map.tank_radius_m = m_parcel.pad->pad.pad_radius_m;
    for (const StandingTank& tank : m_parcel.pad->tanks) {
        m_map.tanks.push_back(m_map.frame.to_metres(tank.centre.crs));
    }
    for (const std::size_t member : m_parcel.members) {
        const Segment& pipe = m_parcel.roofs[member].shared_fill.value().place;
        m_map.fill_lines.push_back({m_map.frame.to_metres(pipe.from), m_map.frame.to_metres(pipe.to)});
    }
}

void MapMaker::add_garden() {
    if (!m_parcel.pad) {
        return;
    }
    m_map.garden_cell_m = std::sqrt(m_parcel.pad->cells.garden_cell_m2());
    for (const GardenCell& cell : m_parcel.pad->garden) {
        m_map.garden.push_back({m_map.frame.to_metres(m_tile.terrain.grid().centre(cell.cell)), cell.elev_m});
    }
}

}  // namespace

CellRange map_ground_needed(const ParcelExplanation& parcel, const TileParcel& outline,
                            const std::vector<TileRoof>& roofs, const TileInput& tile) {
    const auto frame = frame_of(parcel, outline, roofs, tile);
    if (!frame) {
        return {};
    }
    const Box extent = extent_of(parcel, outline, roofs, *frame);
    Box box;
    box.add(frame->from_metres({extent.x_min, extent.y_min}));
    box.add(frame->from_metres({extent.x_max, extent.y_max}));
    return tile.terrain.grid().cells_around(box);
}

std::optional<PropertyMap> property_map(const ParcelExplanation& parcel, const TileParcel& outline,
                                        const std::vector<TileRoof>& roofs, const TileInput& tile) {
    const auto frame = frame_of(parcel, outline, roofs, tile);
    if (!frame) {
        return std::nullopt;
    }
    PropertyMap map;
    map.frame = *frame;
    map.extent = extent_of(parcel, outline, roofs, *frame);
    map.parcel = frame->to_metres(outline.outline);
    for (const TileRoof& roof : roofs) {
        map.roofs.push_back(frame->to_metres(roof.outline));
    }
    MapMaker maker(parcel, roofs, tile, map);
    maker.add_surroundings();
    maker.add_storage();
    maker.add_garden();
    map.ground = lattice_of(map.extent, *frame, tile);
    return map;
}

}  // namespace eaveshed
