// The parts of a basin by which roofs and offers are summed: polygons that are given, or the catchments of the reaches.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/creeks/creeks.hpp"
#include "eaveshed/crs/crs.hpp"
#include "eaveshed/inputs/inputs.hpp"
#include "eaveshed/project/project.hpp"
#include "eaveshed/shape/polygon.hpp"

namespace eaveshed {

struct SubbasinOutlines {
    std::vector<MultiPolygon> outlines;  // by sub-basin; empty for one that no ground drains to first
    Crs crs;
};

// Not thread-safe: one thread asks. Given polygons stay in memory whole.
class Subbasins {
public:
    // None.
    Subbasins();
    // The layer's features in its order, those without a usable polygon left out and told; an id that stood before gets
    // a number behind it, which is told too. Without the layer the catchments of the reaches, where water is led over
    // the ground or will be: it is before the first is asked. `creeks` outlives this.
    Subbasins(const Project& project, const Inputs& inputs, const Creeks& creeks, Findings& findings);
    ~Subbasins();
    Subbasins(Subbasins&& other) noexcept;
    Subbasins& operator=(Subbasins&& other) noexcept;

    [[nodiscard]] std::size_t size() const { return m_ids.size(); }
    [[nodiscard]] const std::string& id(std::size_t number) const { return m_ids[number]; }
    // The first that holds a place of the terrain's CRS: of polygons by their order; of catchments the one that its
    // water drains to. None where none does.
    [[nodiscard]] std::optional<std::uint32_t> at(Point place) const;
    // Of catchments traced now, where the ways lie 4 bytes for each cell that water is led over while it works.
    [[nodiscard]] SubbasinOutlines outlines() const;

private:
    struct Given;
    void read(const Project& project, const Inputs& inputs, Findings& findings);

    std::vector<std::string> m_ids;
    std::unique_ptr<Given> m_given;  // null for catchments
    const Creeks* m_creeks = nullptr;
    Crs m_terrain;
};

}  // namespace eaveshed
