#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "eaveshed/geometry/footprint_geometry.hpp"
#include "plan_parts.hpp"

namespace eaveshed {

namespace {

// Reads layers of streams and exclusions, brought to the terrain's CRS once for all tiles.
class ObstacleReader {
public:
    ObstacleReader(const Inputs& inputs, Plan& plan, Findings& findings)
        : m_inputs(inputs), m_plan(plan), m_findings(findings) {}

    void read_streams(const Layer& streams);
    // `number`: of the exclusions, from 1.
    void read_exclusions(std::uint32_t number, const Layer& exclusions);

    [[nodiscard]] const std::vector<Box>& boxes() const { return m_boxes; }

private:
    template <typename Reader>
    void read(const Layer& layer, Reader&& reader);
    void keep(const ObstacleRecord& record, const Box& box);

    const Inputs& m_inputs;
    Plan& m_plan;
    Findings& m_findings;
    GeometryKit m_kit;
    std::vector<Box> m_boxes;
};

void ObstacleReader::keep(const ObstacleRecord& record, const Box& box) {
    m_plan.obstacles.push_back(m_plan.obstacle_store.append(packed(record)));
    m_boxes.push_back(box);
}

// `reader` keeps a feature and says whether there was anything to keep.
template <typename Reader>
void ObstacleReader::read(const Layer& layer, Reader&& reader) {
    const VectorInfo& info = layer.info;
    FeatureSource& source = layer.features({});
    const Transform to_terrain(info.crs, m_inputs.terrain().crs, info.where);
    std::uint64_t without_shape = 0;
    Feature feature;
    while (source.next(feature)) {
        without_shape += reader(feature, to_terrain) ? 0U : 1U;
        stop_if_requested();
    }
    if (without_shape > 0) {
        m_findings.warn({info.where, fmt::format("{} features without a usable shape", without_shape), "",
                         "tanks are not kept away from them"});
    }
}

void ObstacleReader::read_streams(const Layer& streams) {
    read(streams, [&](const Feature& feature, const Transform& to_terrain) {
        bool kept = false;
        for (Line& line : m_kit.lines(feature.wkb)) {
            if (!to_terrain.apply(line)) {
                continue;
            }
            kept = true;
            for (Line& piece : pieces_of(line)) {
                const Box box = bounds(piece);
                keep({.layer = 0, .line = std::move(piece), .area = {}}, box);
            }
        }
        return kept;
    });
}

void ObstacleReader::read_exclusions(std::uint32_t number, const Layer& exclusions) {
    read(exclusions, [&](const Feature& feature, const Transform& to_terrain) {
        const auto shape = m_kit.polygons(feature.wkb);
        const auto area = shape ? to_terrain(shape->outline) : std::nullopt;
        if (!area) {
            return false;
        }
        keep({.layer = number, .line = {}, .area = *area}, bounds(*area));
        return true;
    });
}

}  // namespace

std::vector<Line> pieces_of(const Line& line) {
    constexpr std::size_t kPieceEdges = 256;
    std::vector<Line> pieces;
    for (std::size_t first = 0; first + 1 < line.size(); first += kPieceEdges) {
        const std::size_t last = std::min(first + kPieceEdges, line.size() - 1);
        const auto begin = line.begin() + static_cast<std::ptrdiff_t>(first);
        pieces.emplace_back(begin, line.begin() + static_cast<std::ptrdiff_t>(last) + 1);
    }
    return pieces;
}

void plan_obstacles(const Inputs& inputs, Plan& plan, Findings& findings) {
    ObstacleReader reader(inputs, plan, findings);
    if (const Layer* const streams = inputs.layer("streams.source")) {
        reader.read_streams(*streams);
    }
    for (const Layer& exclusions : inputs.layers_of("exclusions.source")) {
        reader.read_exclusions(static_cast<std::uint32_t>(exclusions.item + 1), exclusions);
    }
    plan.obstacle_store.finish();
    plan.obstacle_index = BoxIndex(reader.boxes());
}

}  // namespace eaveshed
