#include "eaveshed/site/pad_notes.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "eaveshed/notes/upkeep.hpp"
#include "eaveshed/shape/prepared_area.hpp"
#include "eaveshed/shape/segment.hpp"
#include "eaveshed/site/place.hpp"

namespace eaveshed {

namespace {

constexpr double kNoteSlackM = 1.0;  // around what is loaded: more than any rounding

Segment to_metres(const LocalFrame& frame, const Segment& edge) {
    return {frame.to_metres(edge.from), frame.to_metres(edge.to)};
}

// Square of a distance that no edge in a box of the CRS is nearer than, short of it by more than any rounding.
double squared_distance_to_box(const LocalFrame& frame, const Box& box, Point metres) {
    const Point low = frame.to_metres(Point{box.x_min, box.y_min});
    const Point high = frame.to_metres(Point{box.x_max, box.y_max});
    const double dx = std::max({0.0, low.x - metres.x - kNoteSlackM, metres.x - high.x - kNoteSlackM});
    const double dy = std::max({0.0, low.y - metres.y - kNoteSlackM, metres.y - high.y - kNoteSlackM});
    return dx * dx + dy * dy;
}

// The edge nearest to a point, of equally near ones the first in order; both in metres.
struct NearestEdge {
    Segment edge;
    double squared_m2 = std::numeric_limits<double>::infinity();
};
NearestEdge nearest_edge(const LineRuns& lines, const LocalFrame& frame, Point metres) {
    NearestEdge nearest;
    lines.visit_edges([&](const Box& box) { return squared_distance_to_box(frame, box, metres) <= nearest.squared_m2; },
                      [&](const Segment& in_crs) {
                          const Segment edge = to_metres(frame, in_crs);
                          if (const double squared = squared_distance(edge, metres); squared < nearest.squared_m2) {
                              nearest = {edge, squared};
                          }
                      });
    return nearest;
}

Point along(const Segment& edge, double share) {
    return {edge.from.x + share * (edge.to.x - edge.from.x), edge.from.y + share * (edge.to.y - edge.from.y)};
}

struct Circle {
    Point centre;
    double radius = 0.0;
};

// The part of an edge inside a circle that it meets, as shares of its length.
struct PartOfEdge {
    double first = 0.0;
    double last = 0.0;
};
PartOfEdge part_inside(const Segment& edge, const Circle& circle) {
    const double dx = edge.to.x - edge.from.x;
    const double dy = edge.to.y - edge.from.y;
    const double length_squared = dx * dx + dy * dy;
    if (length_squared == 0.0) {
        return {};
    }
    const double px = circle.centre.x - edge.from.x;
    const double py = circle.centre.y - edge.from.y;
    const double middle = (px * dx + py * dy) / length_squared;
    const double across = (px * dy - py * dx) / std::sqrt(length_squared);
    const double half = std::sqrt(std::max(0.0, circle.radius * circle.radius - across * across) / length_squared);
    return {std::clamp(middle - half, 0.0, 1.0), std::clamp(middle + half, 0.0, 1.0)};
}

// Whether a circle holds the whole box, and the box is hardly larger than what is asked for along the edges in it.
bool is_small_inside(const LocalFrame& frame, const Box& box, const Circle& circle) {
    constexpr double kSmallM = 120.0;
    const Point low = frame.to_metres(Point{box.x_min, box.y_min});
    const Point high = frame.to_metres(Point{box.x_max, box.y_max});
    const double dx = std::max(high.x - circle.centre.x, circle.centre.x - low.x);
    const double dy = std::max(high.y - circle.centre.y, circle.centre.y - low.y);
    return high.x - low.x <= kSmallM && high.y - low.y <= kSmallM && dx * dx + dy * dy <= circle.radius * circle.radius;
}

Box with_slack(const LocalFrame& frame, const Box& box) {
    return box.grown(kNoteSlackM / frame.metres_per_x, kNoteSlackM / frame.metres_per_y);
}

// Boxes along the part of an edge in the circle, in the CRS, short enough that a slanting edge asks for few cells.
void add_boxes(const Segment& edge, const Circle& circle, const LocalFrame& frame, std::vector<Box>& boxes) {
    constexpr double kPieceM = 50.0;
    const PartOfEdge part = part_inside(edge, circle);
    const double length = std::hypot(edge.to.x - edge.from.x, edge.to.y - edge.from.y) * (part.last - part.first);
    const int pieces = std::max(1, static_cast<int>(std::ceil(length / kPieceM)));
    for (int i = 0; i < pieces; ++i) {
        Box box;
        for (const int end : {i, i + 1}) {
            box.add(frame.from_metres(along(edge, part.first + (part.last - part.first) * end / pieces)));
        }
        boxes.push_back(with_slack(frame, box));
    }
}

// The cell that holds a point of the grid.
Cell cell_at(const Grid& grid, Point point) {
    const auto index = [](double position, std::int64_t count) {
        return std::clamp<std::int64_t>(std::llround(position), 0, count - 1);
    };
    return {index(grid.row_position(point.y), grid.rows), index(grid.col_position(point.x), grid.cols)};
}

// Cells of a canopy by their values.
struct CanopyCount {
    std::uint64_t inside = 0;  // with or without a value
    std::uint64_t known = 0;
    std::uint64_t tall = 0;

    void add(double value, double height_m) {
        ++inside;
        known += std::isnan(value) ? 0U : 1U;
        tall += value > height_m ? 1U : 0U;
    }
    [[nodiscard]] std::optional<double> share() const {
        return known > 0 ? std::optional(static_cast<double>(tall) / static_cast<double>(known)) : std::nullopt;
    }
};

// Counts the cells with centres in a box of local metres for which `counts` says so of the centre.
template <typename Counts>
CanopyCount count_canopy(const SparseRaster& canopy, const PlaneMap& to_canopy, const LocalFrame& frame,
                         const Box& metres, double height_m, const Counts& counts) {
    CanopyCount count;
    const auto back = to_canopy.inverse();
    if (!back) {
        return count;
    }
    Box there;
    for (const double x : {metres.x_min, metres.x_max}) {
        for (const double y : {metres.y_min, metres.y_max}) {
            there.add(to_canopy(frame.from_metres({x, y})));
        }
    }
    const CellRange range = canopy.grid().cells_around(there);
    for (std::int64_t row = range.row_begin; row < range.row_end; ++row) {
        for (std::int64_t col = range.col_begin; col < range.col_end; ++col) {
            if (counts(frame.to_metres((*back)(canopy.grid().centre({row, col}))))) {
                count.add(canopy.at(row, col), height_m);
            }
        }
    }
    return count;
}

}  // namespace

std::optional<NearestRoad> nearest_road(const LineRuns& roads, Point place, const LocalFrame& frame,
                                        double max_distance_m) {
    const Point metres = frame.to_metres(place);
    const NearestEdge nearest = nearest_edge(roads, frame, metres);
    const double distance = std::sqrt(nearest.squared_m2);
    if (!(distance <= max_distance_m)) {
        return std::nullopt;
    }
    return NearestRoad{distance, frame.from_metres(nearest_point(nearest.edge, metres))};
}

std::vector<CellRange> road_ground_needed(const TileRoof& roof, const LineRuns& roads, const Grid& grid,
                                          const TerrainMetric& metric, const Settings& settings) {
    if (roof.outline.empty()) {
        return {};
    }
    const LocalFrame frame = metric.frame_at(roof.interior);
    const Box pads = pad_places(roof, metric, settings);
    const Point low = frame.to_metres(Point{pads.x_min, pads.y_min});
    const Point high = frame.to_metres(Point{pads.x_max, pads.y_max});
    // The road nearest to any pad is at most this far from the middle of the places where pads may be.
    Circle circle{{0.5 * (low.x + high.x), 0.5 * (low.y + high.y)}, 0.0};
    const double half = 0.5 * std::hypot(high.x - low.x, high.y - low.y);
    const double least = std::sqrt(nearest_edge(roads, frame, circle.centre).squared_m2);
    circle.radius = kNoteSlackM + std::min(least + 2.0 * half, settings.roads.max_distance_m + half);
    const double squared_radius = circle.radius * circle.radius;
    std::vector<Box> boxes;
    roads.visit_edges(
        [&](const Box& box) {
            if (is_small_inside(frame, box, circle)) {
                boxes.push_back(with_slack(frame, box));
                return false;
            }
            return squared_distance_to_box(frame, box, circle.centre) <= squared_radius;
        },
        [&](const Segment& in_crs) {
            const Segment edge = to_metres(frame, in_crs);
            if (squared_distance(edge, circle.centre) <= squared_radius) {
                add_boxes(edge, circle, frame, boxes);
            }
        });
    std::vector<CellRange> ranges;
    ranges.reserve(boxes.size());
    for (const Box& box : boxes) {
        ranges.push_back(grid.cells_around(box));
    }
    return ranges;
}

std::optional<double> canopy_share(const SparseRaster& canopy, const PlaneMap& to_canopy, const LocalFrame& frame,
                                   const PadCircle& pad, double height_m) {
    const Point centre = to_canopy(pad.centre);
    if (!canopy.grid().holds(centre)) {
        return std::nullopt;
    }
    const Point middle = frame.to_metres(pad.centre);
    Box box;
    box.add(middle);
    CanopyCount count =
        count_canopy(canopy, to_canopy, frame, box.grown(pad.radius_m, pad.radius_m), height_m,
                     [&](Point cell) { return std::hypot(cell.x - middle.x, cell.y - middle.y) <= pad.radius_m; });
    if (count.inside == 0) {
        const Cell only = cell_at(canopy.grid(), centre);
        count.add(canopy.at(only.row, only.col), height_m);
    }
    return count.share();
}

std::optional<double> leaves_share(const SparseRaster& canopy, const TileRoof& roof, const LocalFrame& frame,
                                   double ring_m, double height_m) {
    if (!roof.to_canopy || roof.outline.empty()) {
        return std::nullopt;
    }
    const PreparedArea area(frame.to_metres(roof.outline));
    return count_canopy(canopy, *roof.to_canopy, frame, area.box().grown(ring_m, ring_m), height_m,
                        [&](Point cell) {
                            const double distance_m = area.distance_to_area_within(cell, ring_m);
                            return distance_m > 0.0 && distance_m <= ring_m;
                        })
        .share();
}

void fill_roof_notes(const TileRoof& roof, const TileInput& tile, const Settings& settings, RoofRow& row) {
    if (tile.canopy) {
        row.leaves_share = leaves_share(*tile.canopy, roof, tile.metric.frame_at(roof.interior),
                                        settings.notes.canopy_ring_m, settings.notes.canopy_height_m);
    }
    if (const auto freezing = freezing_months(tile.climate.minimum_c_at(roof.climate_place))) {
        row.freeze_months_count = freezing->count();
    }
}

void fill_pad_notes(const TileRoof& roof, const TileInput& tile, const Settings& settings, PadRow& pad) {
    const LocalFrame frame = tile.metric.frame_at(roof.interior);
    if (const auto road = nearest_road(tile.roads, pad.place, frame, settings.roads.max_distance_m)) {
        pad.road_distance_m = road->distance_m;
        const double ground_m = tile.terrain.sample(road->place);
        if (!std::isnan(ground_m)) {
            pad.road_climb_m = *pad.pad_elev_m - ground_m;
        }
    }
    if (tile.canopy && roof.to_canopy) {
        pad.canopy_share = canopy_share(*tile.canopy, *roof.to_canopy, frame, {pad.place, *pad.pad_radius_m},
                                        settings.notes.canopy_height_m);
    }
}

}  // namespace eaveshed
