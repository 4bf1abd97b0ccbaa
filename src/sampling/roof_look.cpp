#include "roof_look.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "eaveshed/core/quantile.hpp"
#include "eaveshed/raster/raster_source.hpp"
#include "eaveshed/roof/eave.hpp"
#include "eaveshed/roof/ground.hpp"
#include "eaveshed/shape/measure.hpp"
#include "eaveshed/shape/prepared_area.hpp"

namespace eaveshed {

namespace {

constexpr double kFineCellM = 6.0;  // wider cells mix roofs with the ground between them

RasterSource own_handle(const OpenInputs& inputs, const char* setting) {
    return inputs.raster_sources.find(setting)->second.another();
}

double larger_side_m(const RasterInfo& raster, const TerrainMetric& metric) {
    return cell_sides(raster.grid, metric, raster.grid.extent().middle()).larger_m();
}

std::vector<double> values_at(const SparseRaster& raster, const std::vector<Point>& places) {
    std::vector<double> values;
    values.reserve(places.size());
    for (const Point& place : places) {
        values.push_back(raster.sample(place));
    }
    return values;
}

std::vector<double> ascending(std::vector<double> values) {
    std::erase_if(values, [](double value) { return std::isnan(value); });
    std::ranges::sort(values);
    return values;
}

// Of the middle values; none where the ground lies so low that an offset counts for as much as a factor.
std::optional<double> middle_ratio(const std::vector<double>& above, const std::vector<double>& ground) {
    constexpr double kLeastM = 10.0;
    const auto top = ascending(above);
    const auto below = ascending(ground);
    return !top.empty() && !below.empty() && median(below) >= kLeastM ? std::optional(median(top) / median(below))
                                                                      : std::nullopt;
}

// Places inside the outline, evenly spread, at most about a hundred.
std::vector<Point> inside(const MultiPolygon& outline, double step) {
    constexpr double kAcross = 10.0;
    const PreparedArea area(outline);
    const Box& box = area.box();
    const double dx = std::max(step, (box.x_max - box.x_min) / kAcross);
    const double dy = std::max(step, (box.y_max - box.y_min) / kAcross);
    std::vector<Point> places;
    Point place{box.x_min + dx / 2.0, 0.0};
    while (place.x < box.x_max) {
        place.y = box.y_min + dy / 2.0;
        while (place.y < box.y_max) {
            if (area.contains(place)) {
                places.push_back(place);
            }
            place.y += dy;
        }
        place.x += dx;
    }
    return places;
}

// Slope in % of the plane that fits best (least squares) through places in metres and their elevations.
std::optional<double> plane_slope_pct(const std::vector<Point>& places, const std::vector<double>& elevs) {
    constexpr std::size_t kLeast = 4;
    double n = 0.0;
    double x_mean = 0.0;
    double y_mean = 0.0;
    double z_mean = 0.0;
    for (std::size_t i = 0; i < places.size(); ++i) {
        if (!std::isnan(elevs[i])) {
            n += 1.0;
            x_mean += places[i].x;
            y_mean += places[i].y;
            z_mean += elevs[i];
        }
    }
    if (n < static_cast<double>(kLeast)) {
        return std::nullopt;
    }
    double xx = 0.0;
    double xy = 0.0;
    double yy = 0.0;
    double xz = 0.0;
    double yz = 0.0;
    for (std::size_t i = 0; i < places.size(); ++i) {
        if (!std::isnan(elevs[i])) {
            const double x = places[i].x - x_mean / n;
            const double y = places[i].y - y_mean / n;
            const double z = elevs[i] - z_mean / n;
            xx += x * x;
            xy += x * y;
            yy += y * y;
            xz += x * z;
            yz += y * z;
        }
    }
    const double determinant = xx * yy - xy * xy;
    if (!(determinant > 0.0)) {
        return std::nullopt;
    }
    return 100.0 * std::hypot((xz * yy - yz * xy) / determinant, (yz * xx - xz * xy) / determinant);
}

// The blocks around the box.
SparseRaster loaded(RasterSource& source, const Box& box) {
    SparseRaster raster(source.info().grid);
    const CellRange range = raster.grid().cells_around(box);
    if (!range.empty()) {
        source.load(raster, range);
    }
    return raster;
}

}  // namespace

RoofLook::RoofLook(const Project& project, const OpenInputs& inputs, const Plan& plan)
    : m_plan(plan),
      m_metric(terrain_metric(inputs)),
      m_to_terrain(inputs.footprints().info.crs, inputs.terrain().crs, inputs.terrain().where),
      m_terrain(own_handle(inputs, "terrain.elevation")),
      m_surface_is_height(project.settings.terrain.surface_kind == SurfaceKind::height),
      m_fine(larger_side_m(inputs.terrain(), m_metric) <= kFineCellM) {
    if (const RasterInfo* const surface = inputs.raster("terrain.surface")) {
        m_surface.emplace(own_handle(inputs, "terrain.surface"));
        m_to_surface.emplace(inputs.footprints().info.crs, surface->crs, surface->where);
        m_terrain_to_surface.emplace(inputs.terrain().crs, surface->crs, surface->where);
        m_surface_fine = m_fine && larger_side_m(*surface, metric_of(surface->crs)) <= kFineCellM;
    }
}

// On both sides of the middle of each piece of the outer rings: those that lie outside, and in no other building's box.
std::vector<Point> RoofLook::ring_around(std::uint32_t ordinal, const MultiPolygon& outline,
                                         const LocalFrame& frame) const {
    constexpr double kPieceM = 6.0;
    constexpr double kNearly = 0.9;
    const PreparedArea area(frame.to_metres(outline));
    std::vector<Point> places;
    const auto take = [&](Point place) {
        if (area.distance_to_area(place) < kNearly * kRingOutsideRoofM) {
            return;
        }
        const Point there = frame.from_metres(place);
        bool free = true;
        m_plan.roof_index.visit({there.x, there.y, there.x, there.y},
                                [&](std::uint32_t other) { free = free && other == ordinal; });
        if (free) {
            places.push_back(place);
        }
    };
    for (const Polygon& part : frame.to_metres(outline).parts) {
        for (std::size_t i = 1; i < part.outer.size(); ++i) {
            const Point a = part.outer[i - 1];
            const Point b = part.outer[i];
            const double length = std::hypot(b.x - a.x, b.y - a.y);
            const auto pieces = static_cast<int>(std::ceil(length / kPieceM));
            for (int piece = 0; piece < pieces; ++piece) {
                const double along = (piece + 0.5) / pieces;
                const Point middle{a.x + along * (b.x - a.x), a.y + along * (b.y - a.y)};
                const Point out{(b.y - a.y) / length * kRingOutsideRoofM, -(b.x - a.x) / length * kRingOutsideRoofM};
                take({middle.x + out.x, middle.y + out.y});
                take({middle.x - out.x, middle.y - out.y});
            }
        }
    }
    return places;
}

void RoofLook::see_surface(const FootprintRecord& record, double ground_mid_m, const SparseRaster& terrain,
                           const std::vector<Point>& ring, RoofSample& sample) {
    const auto outline = (*m_to_surface)(record.outline);
    if (!outline) {
        return;
    }
    Box box = bounds(*outline);
    std::vector<Point> there = ring;
    const bool reached = m_terrain_to_surface->apply(there);
    for (const Point& place : there) {
        if (reached) {
            box.add(place);
        }
    }
    const SparseRaster surface = loaded(*m_surface, box);
    if (const auto percentile = surface_percentile(*outline, surface)) {
        sample.surface_m = m_surface_is_height ? *percentile : *percentile - ground_mid_m;
    }
    if (!reached || !m_surface_fine) {
        return;
    }
    std::vector<double> beside = values_at(surface, there);
    const std::vector<double> ground = values_at(terrain, ring);
    sample.surface_by_ground = m_surface_is_height ? std::nullopt : middle_ratio(beside, ground);
    for (std::size_t i = 0; i < beside.size(); ++i) {
        beside[i] -= m_surface_is_height ? 0.0 : ground[i];
    }
    constexpr double kLowest = 0.25;
    if (const auto sorted = ascending(beside); !sorted.empty()) {
        sample.surface_beside_m = sorted[nearest_rank(kLowest, sorted.size())];
    }
}

std::optional<Point> RoofLook::see(std::uint32_t ordinal, const FootprintRecord& record, RoofSample& sample) {
    const auto outline = m_to_terrain(record.outline);
    const auto interior = m_to_terrain(record.interior);
    if (!outline || !interior) {
        return std::nullopt;
    }
    const LocalFrame frame = m_metric.frame_at(*interior);
    const std::vector<Point> ring_m = ring_around(ordinal, *outline, frame);
    std::vector<Point> ring;
    Box box = bounds(*outline);
    for (const Point& place : ring_m) {
        ring.push_back(frame.from_metres(place));
        box.add(ring.back());
    }
    const SparseRaster terrain = loaded(m_terrain, box);
    const auto ground = ground_along(*outline, terrain);
    if (!ground) {
        return std::nullopt;
    }
    sample.ground_m = ground->mid_m;
    const std::vector<double> around = values_at(terrain, ring);
    sample.slope_pct = plane_slope_pct(ring_m, around);
    const auto outside = ascending(around);
    const auto within = ascending(values_at(terrain, inside(*outline, terrain.grid().smaller_cell_side())));
    if (m_fine && !outside.empty() && !within.empty()) {
        sample.stands_up_m = median(within) - median(outside);
    }
    if (m_surface) {
        see_surface(record, ground->mid_m, terrain, ring, sample);
    }
    return interior;
}

}  // namespace eaveshed
