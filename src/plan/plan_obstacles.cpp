#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "eaveshed/geometry/footprint_geometry.hpp"
#include "eaveshed/words/wording.hpp"
#include "plan_parts.hpp"

namespace eaveshed {

namespace {

// Takes reaches, and layers of exclusions brought to the terrain's CRS once for all tiles.
class ObstacleReader {
public:
    ObstacleReader(const Inputs& inputs, Plan& plan, Findings& findings)
        : m_inputs(inputs), m_plan(plan), m_findings(findings) {}

    void take_streams(const Creeks& creeks);
    // `number`: of the exclusions, from 1.
    void read_exclusions(std::uint32_t number, const Layer& exclusions, double setback_m);

    [[nodiscard]] const std::vector<Box>& boxes() const { return m_boxes; }

private:
    template <typename Reader>
    void read(const Layer& layer, Reader&& reader);
    void keep(const ObstacleRecord& record, const Box& box);
    void keep_pieces(std::uint32_t layer, const Line& line);
    // False where the line cannot be brought to the terrain's CRS.
    bool keep_line(std::uint32_t layer, Line line, const Transform& to_terrain);
    // `thin`: counts features that have lines or points. False where there was nothing to keep.
    bool keep_exclusion(std::uint32_t number, const Feature& feature, const Transform& to_terrain, std::uint64_t& thin);

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

void ObstacleReader::take_streams(const Creeks& creeks) {
    for (const CreekReach& reach : creeks.reaches()) {
        keep_pieces(0, reach.line);
    }
}

void ObstacleReader::keep_pieces(std::uint32_t layer, const Line& line) {
    for (Line& piece : pieces_of(line)) {
        const Box box = bounds(piece);
        keep({.layer = layer, .line = std::move(piece), .area = {}}, box);
    }
}

bool ObstacleReader::keep_line(std::uint32_t layer, Line line, const Transform& to_terrain) {
    if (!to_terrain.apply(line)) {
        return false;
    }
    keep_pieces(layer, line);
    return true;
}

// Areas, lines and points of a feature, also of several kinds.
bool ObstacleReader::keep_exclusion(std::uint32_t number, const Feature& feature, const Transform& to_terrain,
                                    std::uint64_t& thin) {
    const auto shape = m_kit.polygons(feature.wkb);
    const auto area = shape ? to_terrain(shape->outline) : std::nullopt;
    if (area) {
        keep({.layer = number, .line = {}, .area = *area}, bounds(*area));
    }
    bool any_thin = false;
    for (Line& line : m_kit.lines(feature.wkb)) {
        any_thin = keep_line(number, std::move(line), to_terrain) || any_thin;
    }
    for (const Point& point : m_kit.points(feature.wkb)) {
        any_thin = keep_line(number, {point, point}, to_terrain) || any_thin;
    }
    thin += any_thin ? 1U : 0U;
    return area.has_value() || any_thin;
}

void ObstacleReader::read_exclusions(std::uint32_t number, const Layer& exclusions, double setback_m) {
    std::uint64_t thin = 0;
    read(exclusions, [&](const Feature& feature, const Transform& to_terrain) {
        return keep_exclusion(number, feature, to_terrain, thin);
    });
    if (thin > 0 && !(setback_m > 0.0)) {
        m_findings.warn({exclusions.info.where,
                         fmt::format("{} without a width, lines or points, and no setback", counted(thin, "feature")),
                         "a distance that tanks keep from them",
                         fmt::format("set exclusions.setback_m in table {}: without it the ground of a tank may touch "
                                     "them",
                                     number)});
    }
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

void plan_obstacles(const Project& project, const Inputs& inputs, const Creeks& creeks, Plan& plan,
                    Findings& findings) {
    ObstacleReader reader(inputs, plan, findings);
    reader.take_streams(creeks);
    for (const Layer& exclusions : inputs.layers_of("exclusions.source")) {
        reader.read_exclusions(static_cast<std::uint32_t>(exclusions.item + 1), exclusions,
                               project.resolved.exclusions.at(exclusions.item).setback_m);
    }
    plan.obstacle_store.finish();
    plan.obstacle_index = plan.index_of(reader.boxes());
}

}  // namespace eaveshed
