#include "eaveshed/site/pipes.hpp"

#include <algorithm>
#include <cmath>

#include "eaveshed/shape/measure.hpp"

namespace eaveshed {

namespace {

double half_cell_m(const TileInput& tile, Point place) {
    constexpr double kHalf = 0.5;
    return kHalf * cell_sides(tile.terrain.grid(), tile.metric, place).smaller_m();
}

}  // namespace

PipeRow fill_pipe(const FillCourse& course, const TileInput& tile, const Settings& settings) {
    const LocalFrame frame = tile.metric.frame_at(course.metres_at);
    const Point pad = course.pad.place.crs;
    const auto gutter = nearest_point(frame.to_metres(course.roof.outline), frame.to_metres(pad));
    PipeRow row;
    row.place = {frame.from_metres(gutter.value()), pad};
    row.level = PadLevel::roof;
    row.kind = PipeKind::fill;
    row.length_m = course.distance_m;
    row.start_elev_m = course.eave_elev_m;
    row.end_elev_m = course.pad.pad_elev_m + course.tanks.height_m;
    row.fill_line = fill_line(row, tile.terrain, half_cell_m(tile, course.metres_at), settings.notes.dry_line_max_m);
    return row;
}

std::optional<FillLine> fill_line(const PipeRow& pipe, const SparseRaster& terrain, double step_m,
                                  double dry_line_max_m) {
    const double length_m = pipe.length_m.value();
    const double top_m = pipe.start_elev_m.value();
    const double fall_m = top_m - pipe.end_elev_m.value();
    if (length_m > dry_line_max_m || fall_m <= 0.0) {
        return FillLine::wet;
    }
    bool gap = false;
    const auto steps = static_cast<std::size_t>(std::max(1.0, std::ceil(length_m / step_m)));
    for (std::size_t i = 0; i <= steps; ++i) {
        const double share = static_cast<double>(i) / static_cast<double>(steps);
        const Point at{pipe.place.from.x + share * (pipe.place.to.x - pipe.place.from.x),
                       pipe.place.from.y + share * (pipe.place.to.y - pipe.place.from.y)};
        const double ground_m = terrain.sample(at);
        if (ground_m > top_m - share * fall_m) {
            return FillLine::wet;
        }
        gap = gap || std::isnan(ground_m);
    }
    return gap ? std::nullopt : std::optional(FillLine::dry);
}

std::optional<FillLine> together(std::optional<FillLine> a, std::optional<FillLine> b) {
    if (a == FillLine::wet || b == FillLine::wet) {
        return FillLine::wet;
    }
    return a && b ? a : std::nullopt;
}

}  // namespace eaveshed
