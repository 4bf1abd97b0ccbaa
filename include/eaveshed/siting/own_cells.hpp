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
    double shortest_m = 0.0;      // no more than the weighted length of fill line and pipe
    std::uint32_t number = 0;     // of the cell in the open ground
};

// Immutable after construction.
class OwnCells {
public:
    // `ground` is that of the site, or of another roof of its parcel with the same cells and the same metres. It
    // outlives this.
    OwnCells(const PadSite& site, const PadRules& rules, const OpenGround& ground);

    [[nodiscard]] const OpenGround& ground() const { return *m_ground; }
    // The open cells within max_fill_m of the roof that are clear enough for some option, those with the shortest pipes
    // about first.
    [[nodiscard]] std::span<const OwnCell> cells() const { return m_cells; }
    // None that comes after a cell is shorter by more than this.
    [[nodiscard]] double disorder_m() const { return m_disorder_m; }

private:
    struct Scratch;
    void add_run(const PadSite& site, const PadRules& rules, const OpenGround::Run& run, Scratch& scratch);
    void sort_by_pipes();

    const OpenGround* m_ground;
    std::vector<OwnCell> m_cells;
    double m_disorder_m = 0.0;
};

}  // namespace eaveshed
