#include <fmt/format.h>

#include <utility>

#include "eaveshed/io/footprint_geometry.hpp"
#include "plan_parts.hpp"

namespace eaveshed::run {

namespace {

// Roads as lines in the terrain's CRS; of areas the edges.
class RoadReader {
public:
    RoadReader(const Inputs& inputs, Plan& plan)
        : m_plan(plan), m_to_terrain(inputs.roads->crs, inputs.terrain->crs, inputs.roads->where) {}

    // False where the feature has nothing to keep.
    bool read(const io::Feature& feature);
    [[nodiscard]] const std::vector<Box>& boxes() const { return m_boxes; }

private:
    bool keep(Line line);

    Plan& m_plan;
    io::Transform m_to_terrain;
    io::GeometryKit m_kit;
    std::vector<Box> m_boxes;
};

bool RoadReader::keep(Line line) {
    if (line.size() < 2 || !m_to_terrain.apply(line)) {
        return false;
    }
    for (Line& piece : pieces_of(line)) {
        m_boxes.push_back(bounds(piece));
        m_plan.roads.push_back(
            m_plan.road_store.append(io::packed({.layer = 0, .line = std::move(piece), .area = {}})));
    }
    return true;
}

bool RoadReader::read(const io::Feature& feature) {
    bool kept = false;
    for (Line& line : m_kit.lines(feature.wkb)) {
        kept = keep(std::move(line)) || kept;
    }
    if (const auto area = kept ? std::nullopt : m_kit.polygons(feature.wkb)) {
        for (const Polygon& part : area->outline.parts) {
            kept = keep(part.outer) || kept;
            for (const Ring& hole : part.holes) {
                kept = keep(hole) || kept;
            }
        }
    }
    return kept;
}

}  // namespace

void plan_roads(const Project& project, const Inputs& inputs, Plan& plan, Findings& findings) {
    if (!inputs.roads) {
        return;
    }
    Findings seen_before;
    auto source = io::VectorSource::open("roads", project.resolved.roads.from, {}, "", seen_before);
    RoadReader reader(inputs, plan);
    std::uint64_t without_shape = 0;
    io::Feature feature;
    while (source.next(feature)) {
        without_shape += reader.read(feature) ? 0U : 1U;
        stop_if_requested();
    }
    if (without_shape > 0) {
        findings.warn({inputs.roads->where, fmt::format("{} features without a usable shape", without_shape), "",
                       "the distance from pads to them is not known"});
    }
    plan.road_store.finish();
    plan.road_index = BoxIndex(reader.boxes());
}

}  // namespace eaveshed::run
