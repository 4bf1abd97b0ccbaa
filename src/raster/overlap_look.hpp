// Whether files that overlap say the same. Private to the module.
#pragma once

#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/raster/raster_mosaic.hpp"

namespace eaveshed {

// A file as it lies in a whole; the member outlives it.
struct LaidPiece {
    const MosaicMember* member = nullptr;
    CellRange range;  // in the whole
};

// In columns and rows; ranges that only touch have boxes apart.
[[nodiscard]] inline Box inner_edges(const CellRange& range) {
    return range.edges().grown(-0.25, -0.25);
}

// Compares small windows of some of the overlaps, spread evenly, and warns of the greatest difference. What cannot be
// read is left out.
void tell_disagreement(const std::string& where, const std::vector<LaidPiece>& pieces, Findings& findings);

}  // namespace eaveshed
