#include "eaveshed/report/relief.hpp"

#include <algorithm>
#include <cmath>

#include "eaveshed/raster/raster_source.hpp"
#include "eaveshed/shape/ellipsoid.hpp"

namespace eaveshed {

namespace {

// Means over squares of `n` cells, a strip of them at a time; a square without any value is missing.
RasterPatch means_of(RasterSource& source, const CellRange& range, std::int64_t n) {
    constexpr std::int64_t kStrip = 256;  // rows of the raster, about
    RasterPatch means{{0, (range.rows() + n - 1) / n, 0, (range.cols() + n - 1) / n}, {}};
    const auto cols = static_cast<std::size_t>(means.range.cols());
    const std::int64_t strip_rows = std::max<std::int64_t>(1, kStrip / n);
    bool damaged = false;
    for (std::int64_t first = 0; first < means.range.rows(); first += strip_rows) {
        const std::int64_t rows = std::min(strip_rows, means.range.rows() - first);
        const CellRange strip{range.row_begin + first * n,
                              std::min(range.row_begin + (first + rows) * n, range.row_end), range.col_begin,
                              range.col_end};
        const std::vector<double> values = source.read(strip, damaged);
        std::vector<double> sums(static_cast<std::size_t>(rows) * cols, 0.0);
        std::vector<double> counts(sums.size(), 0.0);
        for (std::size_t i = 0; i < values.size(); ++i) {
            if (!std::isnan(values[i])) {
                const auto width = static_cast<std::size_t>(strip.cols());
                const std::size_t to =
                    i / width / static_cast<std::size_t>(n) * cols + i % width / static_cast<std::size_t>(n);
                sums[to] += values[i];
                counts[to] += 1.0;
            }
        }
        for (std::size_t i = 0; i < sums.size(); ++i) {
            means.values.push_back(counts[i] > 0.0 ? sums[i] / counts[i] : kMissing);
        }
    }
    return means;
}

// The shades as a raster, missing where they are not known.
RasterPatch shades_of(const Relief& relief) {
    constexpr double kFineCell = 6.0;  // m: means over wider cells are flatter than the ground
    Lighting lighting;
    lighting.exaggeration = std::max(relief.cell_width_m, relief.cell_height_m) > kFineCell ? 1.8 : 1.2;
    const GreyImage image = hillshade(relief.elevation_m, relief.cell_width_m, relief.cell_height_m, lighting);
    RasterPatch shades{relief.elevation_m.range, {}};
    shades.values.reserve(image.grey.size());
    for (std::size_t i = 0; i < image.grey.size(); ++i) {
        shades.values.push_back(image.alpha[i] == 0 ? kMissing : static_cast<double>(image.grey[i]));
    }
    return shades;
}

double shade_at(const Relief& relief, const RasterPatch& shades, Point place) {
    const auto stencil =
        bilinear_stencil(relief.grid, relief.crs.is_geographic() ? turned_into(relief.grid, place) : place);
    if (!stencil) {
        return kMissing;
    }
    std::array<double, 4> values{};
    std::ranges::transform(stencil->cells, values.begin(),
                           [&](const Cell& cell) { return shades.at(cell.row, cell.col); });
    return bilinear_value(values, stencil->weights);
}

}  // namespace

UnitLengths unit_lengths(const Crs& crs, Point place) {
    if (!crs.is_geographic()) {
        return {crs.metres_per_unit(), crs.metres_per_unit()};
    }
    const double degrees = crs.degrees_per_unit();
    const MetresPerDegree lengths = metres_per_degree(place.y * degrees, crs.ellipsoid());
    return {lengths.east * degrees, lengths.north * degrees};
}

std::optional<Relief> read_relief(const TerrainSettings& terrain, const Crs& crs, const Box& box, double cell_m,
                                  Findings& findings) {
    RasterSource source =
        RasterSource::open("terrain.elevation", terrain.elevation, elevation_request(terrain), findings);
    const RasterInfo& info = source.info();
    const auto there = Transform(crs, info.crs, info.where)(box);
    if (!there || !there->intersects(info.grid.extent())) {
        return std::nullopt;
    }
    const CellRange range = info.grid.cells_around(*there);
    const UnitLengths lengths = unit_lengths(info.crs, there->middle());
    const double own_cell_m = std::min(info.grid.cell_width * lengths.along_x, info.grid.cell_height * lengths.along_y);
    if (range.empty() || static_cast<double>(range.rows()) * static_cast<double>(range.cols()) > kMostReliefCells) {
        return std::nullopt;
    }
    const auto n = static_cast<std::int64_t>(std::max(1.0, std::floor(cell_m / own_cell_m)));
    Relief relief{.crs = info.crs, .grid = info.grid, .elevation_m = means_of(source, range, n)};
    const auto times = static_cast<double>(n);
    relief.grid = {.x_min = info.grid.x_min + static_cast<double>(range.col_begin) * info.grid.cell_width,
                   .y_max = info.grid.y_max - static_cast<double>(range.row_begin) * info.grid.cell_height,
                   .cell_width = times * info.grid.cell_width,
                   .cell_height = times * info.grid.cell_height,
                   .rows = relief.elevation_m.range.rows(),
                   .cols = relief.elevation_m.range.cols()};
    relief.cell_width_m = relief.grid.cell_width * lengths.along_x;
    relief.cell_height_m = relief.grid.cell_height * lengths.along_y;
    return relief;
}

GreyImage relief_picture(const Relief& relief, const MapFrame& frame, const Crs& crs, double per_mm) {
    constexpr std::uint8_t kOpaque = 255;
    const PageBox& window = frame.window();
    GreyImage image{std::max<std::int64_t>(1, std::llround(window.height * per_mm)),
                    std::max<std::int64_t>(1, std::llround(window.width * per_mm)),
                    {},
                    {}};
    const RasterPatch shades = shades_of(relief);
    const Transform to_relief(crs, relief.crs, "the map");
    std::vector<Point> row(static_cast<std::size_t>(image.cols));
    for (std::int64_t i = 0; i < image.rows; ++i) {
        for (std::int64_t j = 0; j < image.cols; ++j) {
            const Point page{
                window.x + (static_cast<double>(j) + 0.5) / static_cast<double>(image.cols) * window.width,
                window.y + (static_cast<double>(i) + 0.5) / static_cast<double>(image.rows) * window.height};
            row[static_cast<std::size_t>(j)] = frame.from_page(page);
        }
        const bool known = to_relief.apply(row);
        for (const Point& place : row) {
            const double shade = known ? shade_at(relief, shades, place) : kMissing;
            image.grey.push_back(std::isnan(shade) ? kOpaque : static_cast<std::uint8_t>(std::lround(shade)));
            image.alpha.push_back(std::isnan(shade) ? 0 : kOpaque);
        }
    }
    return image;
}

}  // namespace eaveshed
