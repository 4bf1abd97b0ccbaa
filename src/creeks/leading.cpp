#include "leading.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "eaveshed/core/error.hpp"
#include "eaveshed/flow/block_mean.hpp"
#include "eaveshed/flow/fill.hpp"
#include "eaveshed/siting/terrain_metric.hpp"

namespace eaveshed {

namespace {

constexpr std::uint64_t kMiB = std::uint64_t{1} << 20U;

std::int64_t blocks_in(std::int64_t cells, std::int64_t block) {
    return (cells + block - 1) / block;
}

// The footprints' extent in the terrain's CRS, and the ground around it; all elevations where it cannot be said.
Box around_roofs(const Inputs& inputs, const TerrainMetric& metric) {
    const VectorInfo& roofs = inputs.footprints().info;
    const Box all = inputs.terrain().grid.extent();
    const auto box =
        roofs.extent.empty() ? std::nullopt : Transform(roofs.crs, inputs.terrain().crs, roofs.where)(roofs.extent);
    if (!box) {
        return all;
    }
    const LocalFrame frame = metric.frame_at(box->middle());
    return box->grown(kAroundRoofsM / frame.metres_per_x, kAroundRoofsM / frame.metres_per_y);
}

// Grown to whole blocks, counted from the grid's corner: which cells make a block does not depend on the roofs.
CellRange in_whole_blocks(CellRange range, const Grid& grid, std::int64_t block_rows, std::int64_t block_cols) {
    range.row_begin -= range.row_begin % block_rows;
    range.col_begin -= range.col_begin % block_cols;
    range.row_end = std::min(grid.rows, blocks_in(range.row_end, block_rows) * block_rows);
    range.col_end = std::min(grid.cols, blocks_in(range.col_end, block_cols) * block_cols);
    return range;
}

Grid grid_of(const Grid& all, const CellRange& range) {
    Grid grid = all;
    grid.x_min = all.x_min + static_cast<double>(range.col_begin) * all.cell_width;
    grid.y_max = all.y_max - static_cast<double>(range.row_begin) * all.cell_height;
    grid.rows = range.rows();
    grid.cols = range.cols();
    return grid;
}

// The rows of the range from the north, averaged on the way: the finer ones never stand in memory.
Surface<float> read_surface(const LeadingGrid& leading, const OpenInputs& inputs, Findings& findings,
                            Progress& progress) {
    constexpr std::int64_t kValuesAtATime = std::int64_t{4} << 20U;
    constexpr std::int64_t kMostRows = 512;
    RasterSource source = inputs.raster_sources.at("terrain.elevation").another();
    const CellRange& range = leading.range;
    BlockMean<float> mean(grid_of(source.info().grid, range), leading.block_rows, leading.block_cols);
    const std::int64_t step = std::clamp<std::int64_t>(kValuesAtATime / range.cols(), 1, kMostRows);
    progress.begin("leading water", static_cast<std::uint64_t>(range.rows()), "rows of elevations");
    bool damaged = false;
    std::vector<float> row(static_cast<std::size_t>(range.cols()));
    for (std::int64_t begin = range.row_begin; begin < range.row_end; begin += step) {
        const CellRange strip{begin, std::min(begin + step, range.row_end), range.col_begin, range.col_end};
        const std::vector<double> values = source.read(strip, damaged);
        for (std::int64_t i = 0; i < strip.rows(); ++i) {
            const auto first = values.begin() + i * strip.cols();
            std::transform(first, first + strip.cols(), row.begin(),
                           [](double value) { return static_cast<float>(value); });
            mean.add_row(row);
        }
        progress.advance(static_cast<std::uint64_t>(strip.rows()));
        stop_if_requested();
    }
    progress.end();
    if (damaged) {
        findings.warn({source.info().where, "parts that cannot be read", "a whole file",
                       "restore it from a backup; until then water runs out of the basin there"});
    }
    return mean.take();
}

}  // namespace

std::int64_t LeadingGrid::cells() const {
    return blocks_in(range.rows(), block_rows) * blocks_in(range.cols(), block_cols);
}

LeadingGrid leading_grid(const Project& project, const Inputs& inputs) {
    const StreamSettings& settings = project.resolved.streams;
    const Grid& grid = inputs.terrain().grid;
    const TerrainMetric metric = terrain_metric(inputs);
    const CellSides sides = cell_sides(grid, metric, grid.extent().middle());
    LeadingGrid leading{.range = {0, grid.rows, 0, grid.cols}};
    if (!settings.derive) {
        leading.range = grid.cells_around(around_roofs(inputs, metric));
    }
    const auto wanted = settings.derive ? settings.routing_cell_m : settings.routing_cell_m.value_or(kWaysCellM);
    if (wanted) {
        leading.block_rows = cells_averaged(*wanted, sides.height_m);
        leading.block_cols = cells_averaged(*wanted, sides.width_m);
        leading.range = in_whole_blocks(leading.range, grid, leading.block_rows, leading.block_cols);
    }
    leading.cell_m2 = static_cast<double>(leading.block_rows) * sides.height_m *
                      static_cast<double>(leading.block_cols) * sides.width_m;
    return leading;
}

void require_hillsides(const LeadingGrid& grid, const Project& project, const Inputs& inputs) {
    constexpr double kLeastCells = 10.0;
    constexpr double kM2InOneKm2 = 1.0e6;
    constexpr double kRounding = 1.0 - 1e-9;
    const StreamSettings& settings = project.resolved.streams;
    const double cells = settings.stream_area_km2 * kM2InOneKm2 / grid.cell_m2;
    if (settings.derive && cells < kLeastCells * kRounding) {
        throw input_error(
            inputs.terrain().where,
            fmt::format("streams that begin where {:g} km2 drain through, which is {:.2g} of the cells of "
                        "{:.3g} m2 that water is led over",
                        settings.stream_area_km2, cells, grid.cell_m2),
            fmt::format("at least {:g} cells: else nearly every cell is a stream", kLeastCells),
            "raise streams.stream_area_km2, or lower streams.routing_cell_m where it averages finer "
            "elevations");
    }
}

void require_few(const LeadingGrid& grid, std::uint64_t most_bytes, const Project& project, const Inputs& inputs) {
    const auto cells = static_cast<std::uint64_t>(grid.cells());
    const bool too_many = grid.cells() > kMostRoutedCells;
    if (!too_many && cells * kBytesACell <= most_bytes) {
        return;
    }
    const std::string found = too_many ? fmt::format("{} cells of elevations that water would be led over", cells)
                                       : fmt::format("{} cells of elevations to lead water over, which take {} MiB",
                                                     cells, cells * kBytesACell / kMiB + 1);
    const std::string wanted = too_many ? fmt::format("at most {}", kMostRoutedCells)
                                        : fmt::format("at most {} MiB for it", most_bytes / kMiB);
    const std::string way_out = project.resolved.streams.derive ? "or give the lines of the streams (streams.source)"
                                                                : "or set streams.entry = \"nearest\"";
    throw input_error(inputs.terrain().where, found, wanted,
                      fmt::format("set streams.routing_cell_m, so that cells are averaged to larger ones{}, {}",
                                  too_many ? "" : ", or allow more with --memory", way_out));
}

FlowDirections lead(const LeadingGrid& grid, const OpenInputs& inputs, Findings& findings, Progress& progress) {
    Surface<float> surface = read_surface(grid, inputs, findings, progress);
    fill_depressions(surface);
    stop_if_requested();
    const TerrainMetric metric = terrain_metric(inputs);
    RowSides sides = metric.geographic ? sides_in_degrees(surface.grid, metric.ellipsoid)
                                       : sides_in_plane(surface.grid, metric.metres_per_unit);
    return flow_directions(surface, std::move(sides));
}

}  // namespace eaveshed
