#include "eaveshed/property/section.hpp"

#include <algorithm>
#include <cmath>

namespace eaveshed {

namespace {

Point between(Point a, Point b, double share) {
    return {a.x + share * (b.x - a.x), a.y + share * (b.y - a.y)};
}

double length_of(Point a, Point b) {
    return std::hypot(b.x - a.x, b.y - a.y);
}

// From the roof to the pad and the use point, in the terrain's CRS: as the pipes of the pad's own roof run.
std::vector<Point> way_of(const ParcelExplanation& parcel) {
    const PipeRow& fill = parcel.roofs[parcel.owner].shared_fill.value();
    return {fill.place.from, parcel.pad->pad.place.crs, parcel.roofs[parcel.owner].use_point.value().place};
}

}  // namespace

std::vector<GroundPoint> ground_along_way(const SparseRaster& terrain, const LocalFrame& frame,
                                          const std::vector<Point>& way, double step_m) {
    std::vector<GroundPoint> ground;
    const auto add = [&](Point metres, double distance_m) {
        const double elev_m = terrain.sample(frame.from_metres(metres));
        ground.push_back({distance_m, std::isnan(elev_m) ? std::nullopt : std::optional(elev_m)});
    };
    double before_m = 0.0;
    for (std::size_t leg = 1; leg < way.size(); ++leg) {
        const Point from = frame.to_metres(way[leg - 1]);
        const Point to = frame.to_metres(way[leg]);
        const double length_m = length_of(from, to);
        const auto steps = static_cast<std::size_t>(std::max(1.0, std::ceil(length_m / step_m)));
        for (std::size_t i = leg == 1 ? 0 : 1; i <= steps; ++i) {
            const double share = static_cast<double>(i) / static_cast<double>(steps);
            add(between(from, to, share), before_m + share * length_m);
        }
        before_m += length_m;
    }
    return ground;
}

std::optional<PropertySection> property_section(const ParcelExplanation& parcel, const std::vector<TileRoof>& roofs,
                                                const TileInput& tile) {
    if (!parcel.pad) {
        return std::nullopt;
    }
    const Pad& pad = parcel.pad->pad;
    const PadRules& rules = parcel.pad->rules;
    const LocalFrame frame = tile.metric.frame_at(roofs[parcel.owner].interior);
    const std::vector<Point> way = way_of(parcel);
    const StorageOption& option = parcel.options.at(parcel.chosen);
    PropertySection section;
    section.roof_place = way[0];
    section.pad_place = way[1];
    section.use_place = way[2];
    section.pad_m = length_of(frame.to_metres(way[0]), frame.to_metres(way[1]));
    section.use_m = section.pad_m + length_of(frame.to_metres(way[1]), frame.to_metres(way[2]));
    section.ground = ground_along_way(tile.terrain, frame, way, 0.5 * parcel.pad->cells.sides.smaller_m());
    section.gutter_elev_m = parcel.pad->eave.elev_m;
    section.tank_base_elev_m = pad.pad_elev_m;
    section.tank_top_elev_m = pad.pad_elev_m + option.tank.height_m;
    section.outlet_elev_m = pad.pad_elev_m + rules.outlet_height_m;
    section.water_full_elev_m = section.tank_top_elev_m;
    section.use_elev_m = parcel.roofs[parcel.owner].use_point->use_elev_m.value();
    section.tap_elev_m = section.use_elev_m + rules.tap_height_m;
    section.water_reserve_elev_m = section.tap_elev_m + pad.feed.static_head_m;
    section.pressure_full_kpa = pad.feed.pressure_full_kpa;
    section.pressure_reserve_kpa = pad.feed.pressure_kpa;
    return section;
}

std::vector<CellRange> section_ground_needed(const ParcelExplanation& parcel, const std::vector<TileRoof>& roofs,
                                             const TileInput& tile) {
    std::vector<CellRange> needed;
    if (!parcel.pad) {
        return needed;
    }
    constexpr double kPieceM = 50.0;
    const LocalFrame frame = tile.metric.frame_at(roofs[parcel.owner].interior);
    const std::vector<Point> way = way_of(parcel);
    for (std::size_t leg = 1; leg < way.size(); ++leg) {
        const double length_m = length_of(frame.to_metres(way[leg - 1]), frame.to_metres(way[leg]));
        const int pieces = std::max(1, static_cast<int>(std::ceil(length_m / kPieceM)));
        for (int i = 0; i < pieces; ++i) {
            Box box;
            box.add(between(way[leg - 1], way[leg], static_cast<double>(i) / pieces));
            box.add(between(way[leg - 1], way[leg], static_cast<double>(i + 1) / pieces));
            needed.push_back(tile.terrain.grid().cells_around(box));
        }
    }
    return needed;
}

}  // namespace eaveshed
