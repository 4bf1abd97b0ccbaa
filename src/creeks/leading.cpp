#include "leading.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <span>
#include <utility>

#include "eaveshed/core/error.hpp"
#include "eaveshed/flow/fill.hpp"
#include "eaveshed/terrain/terrain_metric.hpp"

namespace eaveshed {

namespace {

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

// Of a raster that is not decoded by blocks of its own, or by blocks smaller than what is averaged: strips as wide as
// the range, of whole blocks to average.
BlockShape strips_of(const LeadingGrid& leading, const Grid& grid) {
    constexpr std::int64_t kValuesAtATime = std::int64_t{1} << 20U;
    constexpr std::int64_t kMostRows = 512;
    const std::int64_t rows = std::clamp<std::int64_t>(kValuesAtATime / leading.range.cols(), 1, kMostRows);
    return {.rows = grid.rows,
            .cols = grid.cols,
            .block_rows = std::max<std::int64_t>(1, rows / leading.block_rows) * leading.block_rows,
            .block_cols = grid.cols};
}

bool holds_whole_blocks(const BlockShape& shape, const LeadingGrid& leading) {
    return shape.block_rows >= leading.block_rows && shape.block_cols >= leading.block_cols;
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

void require_few(const LeadingGrid& grid, const Project& project, const Inputs& inputs) {
    if (grid.cells() <= kMostRoutedCells) {
        return;
    }
    const std::string way_out = project.resolved.streams.derive ? "give the lines of the streams (streams.source)"
                                                                : "set streams.entry = \"nearest\"";
    throw input_error(inputs.terrain().where,
                      fmt::format("{} cells of elevations that water would be led over", grid.cells()),
                      fmt::format("at most {}", kMostRoutedCells),
                      "set streams.routing_cell_m, so that cells are averaged to larger ones, or " + way_out);
}

std::shared_ptr<const WaysToStream> ways_to(std::vector<ChannelCell> channel, LedGround ground) {
    struct Kept {
        std::shared_ptr<SpillMemory> memory;
        WaysToStream ways;
    };
    const auto kept = std::make_shared<const Kept>(
        Kept{std::move(ground.memory), WaysToStream(std::move(ground.directions), std::move(channel))});
    return {kept, &kept->ways};
}

GroundToLead::GroundToLead(const LeadingGrid& grid, const OpenInputs& inputs, const std::filesystem::path& scratch)
    : m_inputs(inputs),
      m_grid(grid),
      m_source(inputs.raster_sources.at("terrain.elevation").another()),
      m_memory(std::make_shared<SpillMemory>(scratch)),
      m_mean(m_source.info().grid, grid.range, {grid.block_rows, grid.block_cols}, m_memory.get()) {
    const auto blocks = m_source.block_shape();
    m_hears = blocks && holds_whole_blocks(*blocks, grid);
    m_pieces = m_hears ? *blocks : strips_of(grid, m_source.info().grid);
    const std::int64_t down = (m_pieces.rows + m_pieces.block_rows - 1) / m_pieces.block_rows;
    m_heard.resize(static_cast<std::size_t>(down * m_pieces.blocks_across()));
    if (m_hears) {
        m_source.tell([this](const DecodedBlock& block) { hear(block); });
    }
}

GroundToLead::~GroundToLead() {
    if (m_hears) {
        m_source.tell(nullptr);
    }
}

namespace {

// Row-major values of a part of a block; gaps of one that cannot be read.
std::vector<float> cut_out(const DecodedBlock& block, const CellRange& part) {
    if (block.values.empty()) {
        std::vector<float> gaps(static_cast<std::size_t>(part.rows() * part.cols()),
                                std::numeric_limits<float>::quiet_NaN());
        return gaps;
    }
    std::vector<float> cut;
    for (std::int64_t row = part.row_begin; row < part.row_end; ++row) {
        const auto first = block.values.begin() + (row - block.range.row_begin) * block.range.cols() +
                           (part.col_begin - block.range.col_begin);
        cut.insert(cut.end(), first, first + part.cols());
    }
    return cut;
}

}  // namespace

// A piece as it is decoded first.
void GroundToLead::hear(const DecodedBlock& block) {
    const CellRange cells = block.range.common_with(m_grid.range);
    if (cells.empty()) {
        return;
    }
    const auto piece = static_cast<std::size_t>(block.range.row_begin / m_pieces.block_rows * m_pieces.blocks_across() +
                                                block.range.col_begin / m_pieces.block_cols);
    {
        const std::scoped_lock lock(m_mutex);
        if (m_heard[piece]) {
            return;
        }
        m_heard[piece] = true;
        m_damaged = m_damaged || block.values.empty();
    }
    if (cells == block.range && !block.values.empty()) {
        add(m_mean.parts_of(cells, block.values));
    } else {
        add(m_mean.parts_of(cells, cut_out(block, cells)));
    }
}

void GroundToLead::add(const BlockMean<float>::Parts& parts) {
    const std::scoped_lock lock(m_mutex);
    m_mean.add(parts);
}

void GroundToLead::read_rest(Progress& progress) {
    progress.begin("leading water", static_cast<std::uint64_t>(m_grid.range.rows()), "rows of elevations");
    std::int64_t row = m_grid.range.row_begin;
    for_each_block(m_pieces, m_grid.range, [&](std::uint64_t number) {
        const CellRange cells = m_pieces.range_of(number).common_with(m_grid.range);
        progress.advance(static_cast<std::uint64_t>(cells.row_begin - row));
        row = cells.row_begin;
        stop_if_requested();
        if (m_heard[number]) {
            return;
        }
        bool damaged = false;
        const std::vector<double> values = m_source.read(cells, damaged);  // which may be heard
        if (!m_heard[number]) {
            const std::vector<float> singles(values.begin(), values.end());
            add(m_mean.parts_of(cells, singles));
            m_heard[number] = true;
            m_damaged = m_damaged || damaged;
        }
    });
    progress.advance(static_cast<std::uint64_t>(m_grid.range.row_end - row));
    progress.end();
}

LedGround GroundToLead::lead(Findings& findings, Progress& progress) {
    read_rest(progress);
    if (m_damaged) {
        findings.warn({m_source.info().where, "parts that cannot be read", "a whole file",
                       "restore it from a backup; until then water runs out of the basin there"});
    }
    Surface<float> surface = m_mean.take();
    fill_depressions(surface);
    stop_if_requested();
    const TerrainMetric metric = terrain_metric(m_inputs);
    RowSides sides = metric.geographic ? sides_in_degrees(surface.grid, metric.ellipsoid)
                                       : sides_in_plane(surface.grid, metric.metres_per_unit);
    return {m_memory, flow_directions(surface, std::move(sides))};
}

}  // namespace eaveshed
