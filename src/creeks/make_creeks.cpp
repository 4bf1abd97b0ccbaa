#include "eaveshed/creeks/make_creeks.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <utility>

#include "eaveshed/flow/accumulation.hpp"
#include "eaveshed/flow/derived_streams.hpp"
#include "given_reaches.hpp"
#include "leading.hpp"

namespace eaveshed {

namespace {

constexpr double kM2InKm2 = 1.0e6;

// In the metres of each edge's own beginning.
double length_m(const Line& line, const TerrainMetric& metric) {
    double length = 0.0;
    for (std::size_t i = 0; i + 1 < line.size(); ++i) {
        const Point step = metric.frame_at(line[i]).to_metres(line[i + 1]);
        length += std::hypot(step.x, step.y);
    }
    return length;
}

// Elevations here and there, bilinear.
class Soundings {
public:
    explicit Soundings(const OpenInputs& inputs) : m_source(inputs.raster_sources.at("terrain.elevation").another()) {}

    double operator()(Point place) {
        const auto stencil = bilinear_stencil(m_source.info().grid, place);
        if (!stencil) {
            return kMissing;
        }
        const auto& [north_west, north_east, south_west, south_east] = stencil->cells;
        const CellRange range{north_west.row, south_east.row + 1, north_west.col, south_east.col + 1};
        bool damaged = false;
        const std::vector<double> values = m_source.read(range, damaged);
        std::array<double, 4> four{};
        for (std::size_t i = 0; i < four.size(); ++i) {
            const Cell& cell = stencil->cells.at(i);
            four.at(i) = values.at(
                static_cast<std::size_t>((cell.row - range.row_begin) * range.cols() + cell.col - range.col_begin));
        }
        return bilinear_value(four, stencil->weights);
    }

private:
    RasterSource m_source;
};

Creeks creeks_of(ReachList list, const Inputs& inputs, std::shared_ptr<const WaysToStream> ways) {
    const TerrainMetric metric = terrain_metric(inputs);
    for (CreekReach& reach : list.reaches) {
        reach.length_m = length_m(reach.line, metric);
    }
    return {std::move(list.reaches), std::move(list.tree), metric, inputs.terrain().grid.extent(), std::move(ways)};
}

ReachList read_given(const Project& project, const OpenInputs& inputs, Findings& findings) {
    Soundings elevation_m(inputs);
    return given_reaches(
        project, inputs, [&](Point place) { return elevation_m(place); }, findings);
}

Creeks given_creeks(const Project& project, const OpenInputs& inputs, Findings& findings) {
    Creeks creeks = creeks_of(read_given(project, inputs, findings), inputs, nullptr);
    const LeadingGrid grid = leading_grid(project, inputs);
    if (project.resolved.streams.entry == StreamEntryBy::flow && !creeks.empty() && !grid.range.empty()) {
        require_few(grid, project, inputs);
        creeks.promise_ways(static_cast<std::uint64_t>(grid.cells()));
    }
    return creeks;
}

ReachList listed_reaches(DerivedStreams streams, const Grid& grid) {
    ReachList list;
    for (std::size_t i = 0; i < streams.reaches.size(); ++i) {
        list.reaches.push_back({.id = std::to_string(i + 1),
                                .name = "",
                                .line = line_of(streams.reaches[i], grid),
                                .drained_km2 = streams.reaches[i].area_m2 / kM2InKm2});
    }
    list.tree = std::move(streams.tree);
    return list;
}

Creeks derived_creeks(const Project& project, const OpenInputs& inputs, const CreekOptions& options, Findings& findings,
                      Progress& progress) {
    const LeadingGrid grid = leading_grid(project, inputs);
    require_hillsides(grid, project, inputs);
    require_few(grid, project, inputs);
    LedGround ground = GroundToLead(grid, inputs, options.scratch).lead(findings, progress);
    const FlowDirections& directions = ground.directions;
    DerivedStreams streams =
        derive_streams(directions, accumulate(directions), project.resolved.streams.stream_area_km2 * kM2InKm2);
    if (streams.reaches.empty()) {
        findings.warn({inputs.terrain().where,
                       fmt::format("no place that {:g} km2 of the elevations drain through: no stream is derived",
                                   project.resolved.streams.stream_area_km2),
                       "elevations of the whole basin", "lower streams.stream_area_km2, or give lines"});
        return {};
    }
    std::vector<ChannelCell> channel = channel_of(streams);
    ReachList list = listed_reaches(std::move(streams), directions.grid);
    auto ways = project.resolved.streams.entry == StreamEntryBy::flow ? ways_to(std::move(channel), std::move(ground))
                                                                      : nullptr;
    return creeks_of(std::move(list), inputs, std::move(ways));
}

}  // namespace

Creeks make_reaches(const Project& project, const OpenInputs& inputs, const CreekOptions& options, Findings& findings,
                    Progress& progress) {
    if (project.resolved.streams.derive) {
        return derived_creeks(project, inputs, options, findings, progress);
    }
    return inputs.layer("streams.source") != nullptr ? given_creeks(project, inputs, findings) : Creeks();
}

WaterLeading::WaterLeading(const Project& project, const OpenInputs& inputs, const CreekOptions& options,
                           Creeks& creeks)
    : m_creeks(creeks) {
    if (creeks.ways() == nullptr && creeks.led_cells() > 0) {
        m_ground = std::make_unique<GroundToLead>(leading_grid(project, inputs), inputs, options.scratch);
    }
}

WaterLeading::~WaterLeading() = default;

void WaterLeading::finish(Findings& findings, Progress& progress) {
    if (m_ground == nullptr) {
        return;
    }
    LedGround ground = m_ground->lead(findings, progress);
    m_ground.reset();
    std::vector<Line> lines;
    for (const CreekReach& reach : m_creeks.reaches()) {
        lines.push_back(reach.line);
    }
    std::vector<ChannelCell> channel = channel_of(lines, m_creeks.tree(), ground.directions.grid);
    m_creeks.lead(ways_to(std::move(channel), std::move(ground)));
}

Creeks make_creeks(const Project& project, const OpenInputs& inputs, const CreekOptions& options, Findings& findings,
                   Progress& progress) {
    Creeks creeks = make_reaches(project, inputs, options, findings, progress);
    WaterLeading(project, inputs, options, creeks).finish(findings, progress);
    return creeks;
}

std::optional<LeadingSize> leading_size(const Project& project, const Inputs& inputs) {
    const StreamSettings& streams = project.resolved.streams;
    const bool given = inputs.layer("streams.source") != nullptr && streams.entry == StreamEntryBy::flow;
    if (!streams.derive && !given) {
        return std::nullopt;
    }
    const LeadingGrid grid = leading_grid(project, inputs);
    const auto cells = static_cast<std::uint64_t>(grid.cells());
    LeadingSize size{.cells = cells, .bytes = cells * kBytesACell};
    if (streams.derive) {
        // At most one head for each area that begins a stream, and a reach more for each that another joins; channels
        // lie about the side of such an area apart.
        const double cells_a_head = streams.stream_area_km2 * kM2InKm2 / grid.cell_m2;
        const auto whole = static_cast<double>(cells);
        size.stream_bytes =
            static_cast<std::uint64_t>(2.0 * whole / cells_a_head * static_cast<double>(kBytesAReach) +
                                       whole / std::sqrt(cells_a_head) * static_cast<double>(kBytesAPoint));
    }
    return size;
}

Creeks look_at_creeks(const Project& project, const OpenInputs& inputs, Findings& findings) {
    const StreamSettings& streams = project.resolved.streams;
    if (streams.given() && (streams.derive || streams.entry == StreamEntryBy::flow)) {
        const LeadingGrid grid = leading_grid(project, inputs);
        require_hillsides(grid, project, inputs);
        require_few(grid, project, inputs);
    }
    return inputs.layer("streams.source") != nullptr ? creeks_of(read_given(project, inputs, findings), inputs, nullptr)
                                                     : Creeks();
}

}  // namespace eaveshed
