#include <fmt/format.h>

#include <utility>

#include "eaveshed/geometry/footprint_geometry.hpp"
#include "plan_parts.hpp"

namespace eaveshed {

namespace {

// Roads as lines in the terrain's CRS; of areas the edges.
class RoadReader {
public:
    RoadReader(const VectorInfo& roads, const Crs& terrain, Plan& plan)
        : m_plan(plan), m_to_terrain(roads.crs, terrain, roads.where) {}

    // False where the feature has nothing to keep.
    bool read(const Feature& feature);
    [[nodiscard]] const std::vector<Box>& boxes() const { return m_boxes; }

private:
    bool keep(Line line);

    Plan& m_plan;
    Transform m_to_terrain;
    GeometryKit m_kit;
    std::vector<Box> m_boxes;
};

bool RoadReader::keep(Line line) {
    if (line.size() < 2 || !m_to_terrain.apply(line)) {
        return false;
    }
    for (Line& piece : pieces_of(line)) {
        m_boxes.push_back(bounds(piece));
        m_plan.roads.push_back(m_plan.road_store.append(packed({.layer = 0, .line = std::move(piece), .area = {}})));
    }
    return true;
}

bool RoadReader::read(const Feature& feature) {
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

void plan_roads(const Inputs& inputs, Plan& plan, Findings& findings) {
    const Layer* const roads = inputs.layer("roads.source");
    if (roads == nullptr) {
        return;
    }
    FeatureSource& source = roads->features({});
    RoadReader reader(roads->info, inputs.terrain().crs, plan);
    std::uint64_t without_shape = 0;
    Feature feature;
    while (source.next(feature)) {
        without_shape += reader.read(feature) ? 0U : 1U;
        stop_if_requested();
    }
    if (without_shape > 0) {
        findings.warn({roads->info.where, fmt::format("{} features without a usable shape", without_shape), "",
                       "the distance from pads to them is not known"});
    }
    plan.road_store.finish();
    plan.road_index = plan.index_of(reader.boxes());
}

}  // namespace eaveshed
