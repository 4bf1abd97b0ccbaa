// What the rasters say at a roof. Private to the module.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "eaveshed/opening/open_inputs.hpp"
#include "eaveshed/plan/plan.hpp"
#include "eaveshed/plausible/roof_sample.hpp"

namespace eaveshed {

// Reads the blocks around one roof after another. For one thread at a time.
class RoofLook {
public:
    RoofLook(const Project& project, const OpenInputs& inputs, const Plan& plan);

    // Fills what RoofSample has of the rasters, but for its place; gives that, in the terrain's CRS, where there is
    // ground.
    [[nodiscard]] std::optional<Point> see(std::uint32_t ordinal, const FootprintRecord& record, RoofSample& sample);

private:
    // Places in the terrain's CRS.
    [[nodiscard]] std::vector<Point> ring_around(std::uint32_t ordinal, const MultiPolygon& outline,
                                                 const LocalFrame& frame) const;
    void see_surface(const FootprintRecord& record, double ground_mid_m, const SparseRaster& terrain,
                     const std::vector<Point>& ring, RoofSample& sample);

    const Plan& m_plan;
    TerrainMetric m_metric;
    Transform m_to_terrain;
    RasterSource m_terrain;
    std::optional<RasterSource> m_surface;
    std::optional<Transform> m_to_surface;  // from the footprints
    std::optional<Transform> m_terrain_to_surface;
    bool m_surface_is_height;
    bool m_fine;                  // cells small enough to tell a roof from the ground beside it
    bool m_surface_fine = false;  // of both
};

}  // namespace eaveshed
