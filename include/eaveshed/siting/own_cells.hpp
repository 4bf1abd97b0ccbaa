// A roof's own ground, with what no option changes: how far its cells are from the roof and from the use point. Made
// once for all options of a roof.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "eaveshed/siting/open_ground.hpp"

namespace eaveshed {

struct OwnCell {
    Cell cell;
    double elev_m = 0.0;
    double slope = 0.0;
    double fill_m = 0.0;          // no more than the distance to the roof, and less by no more than rounding
    double use_squared_m2 = 0.0;  // horizontally to the use point
    bool near_roof = false;       // within max_fill_m
};

// Immutable after construction.
class OwnCells {
public:
    // `ground` is that of the site, or of another roof of its parcel with the same cells and the same metres. It
    // outlives this.
    OwnCells(const PadSite& site, const PadRules& rules, const OpenGround& ground);

    [[nodiscard]] const OpenGround& ground() const { return *m_ground; }
    // The cells of the ground, by their numbers there.
    [[nodiscard]] std::span<const OwnCell> cells() const { return m_cells; }
    // Numbers of those near the roof, those with the shortest pipes about first.
    [[nodiscard]] std::span<const std::uint32_t> nearest_first() const { return m_nearest_first; }

private:
    void add_run(const PadSite& site, const OpenGround::Run& run, const Spans& near, std::vector<double>& squares);
    void sort_by_pipes(const PadRules& rules);

    const OpenGround* m_ground;
    std::vector<OwnCell> m_cells;
    std::vector<std::uint32_t> m_nearest_first;
};

}  // namespace eaveshed
