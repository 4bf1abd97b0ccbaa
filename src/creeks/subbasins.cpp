#include "eaveshed/creeks/subbasins.hpp"

#include <utility>

#include "eaveshed/geometry/footprint_geometry.hpp"
#include "eaveshed/progress/progress.hpp"
#include "eaveshed/raster/label_outlines.hpp"
#include "eaveshed/settings/input_role.hpp"
#include "eaveshed/shape/box_index.hpp"
#include "eaveshed/shape/prepared_area.hpp"
#include "eaveshed/words/wording.hpp"
#include "own_ids.hpp"

namespace eaveshed {

// Polygons of a layer, in its CRS.
struct Subbasins::Given {
    Given(Crs crs_, const Crs& terrain, const std::string& where)
        : crs(std::move(crs_)), from_terrain(terrain, crs, where) {}

    Crs crs;
    Transform from_terrain;
    std::vector<MultiPolygon> outlines;
    std::vector<PreparedArea> areas;
    BoxIndex boxes;
};

Subbasins::Subbasins() = default;
Subbasins::~Subbasins() = default;
Subbasins::Subbasins(Subbasins&& other) noexcept = default;
Subbasins& Subbasins::operator=(Subbasins&& other) noexcept = default;

Subbasins::Subbasins(const Project& project, const Inputs& inputs, const Creeks& creeks, Findings& findings)
    : m_terrain(inputs.terrain().crs) {
    if (inputs.layer("subbasins.source") != nullptr) {
        read(project, inputs, findings);
    } else if (creeks.led_cells() > 0) {
        m_creeks = &creeks;
        for (const CreekReach& reach : creeks.reaches()) {
            m_ids.push_back(reach.id);
        }
    }
}

void Subbasins::read(const Project& project, const Inputs& inputs, Findings& findings) {
    const Layer& layer = *inputs.layer("subbasins.source");
    const VectorInfo& info = layer.info;
    m_given = std::make_unique<Given>(info.crs, m_terrain, info.where);
    FeatureSource& source = layer.features({project.resolved.subbasins.id});
    GeometryKit kit;
    std::vector<Box> boxes;
    std::vector<std::string> unusable;
    OwnIds ids;
    Feature feature;
    while (source.next(feature)) {
        stop_if_requested();
        auto shape = kit.polygons(feature.wkb);
        if (!shape) {
            unusable.push_back(id_of(feature, 0));
            continue;
        }
        m_ids.push_back(ids.of(id_of(feature, 0)));
        boxes.push_back(bounds(shape->outline));
        m_given->areas.emplace_back(shape->outline);
        m_given->outlines.push_back(std::move(shape->outline));
    }
    m_given->boxes = BoxIndex(boxes);
    if (!unusable.empty()) {
        findings.warn({info.where,
                       counted(unusable.size(), "feature") + " without a usable polygon: " + listed(unusable), "",
                       "nothing is summed for them"});
    }
    if (const auto& numbered = ids.numbered(); !numbered.empty()) {
        findings.warn(
            {info.where, counted(numbered.size(), "polygon") + " with an id that stood before: " + listed(numbered),
             "one feature for each id",
             "each is a sub-basin of its own, named as here; join polygons of one sub-basin to a multipolygon, or "
             "name another field in subbasins.id"});
    }
}

std::optional<std::uint32_t> Subbasins::at(Point place) const {
    if (m_creeks != nullptr) {
        const auto entry = m_creeks->ways()->entry_of(place);
        return entry ? std::optional(entry->reach) : std::nullopt;
    }
    const auto there = m_given != nullptr ? m_given->from_terrain(place) : std::nullopt;
    if (!there) {
        return std::nullopt;
    }
    for (const std::uint32_t number : m_given->boxes.query({there->x, there->y, there->x, there->y})) {
        if (m_given->areas[number].contains(*there)) {
            return number;
        }
    }
    return std::nullopt;
}

SubbasinOutlines Subbasins::outlines() const {
    if (m_given != nullptr) {
        return {m_given->outlines, m_given->crs};
    }
    if (m_creeks == nullptr) {
        return {};
    }
    const WaysToStream& ways = *m_creeks->ways();
    return {label_outlines(ways.catchments(), ways.grid(), m_ids.size(), "catchments",
                           "set streams.routing_cell_m to larger cells"),
            m_terrain};
}

}  // namespace eaveshed
