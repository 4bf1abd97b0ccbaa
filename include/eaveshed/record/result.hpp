// What one tile gives back.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "eaveshed/record/curve_row.hpp"
#include "eaveshed/record/pad_row.hpp"
#include "eaveshed/record/roof_row.hpp"
#include "eaveshed/record/use_point_row.hpp"

namespace eaveshed {

// Everything about one footprint. The texts roof_id and parcel_id are left empty here: the plan knows them by ordinal.
struct RoofResult {
    std::uint64_t ordinal = 0;  // position in the input
    RoofRow roof;
    std::optional<UsePointRow> use_point;
    std::optional<PadRow> pad;
    std::vector<CurveRow> curve;  // of computed roofs: one row an option, the same number for all
};

struct TileResult {
    std::vector<RoofResult> roofs;  // in ascending ordinal
};

}  // namespace eaveshed
