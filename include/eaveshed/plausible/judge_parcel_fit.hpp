// Whether parcels and footprints lie right to each other.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/shape/polygon.hpp"

namespace eaveshed {

// In a plane of metres, x to the east.
struct FitRoof {
    std::string id;  // as messages show it
    Point interior;
    std::vector<Point> corners;
    std::optional<std::uint32_t> named;  // the parcel that the data name for it, as a position among the parcels
};

struct ParcelFit {
    std::vector<FitRoof> roofs;         // some hundred at most: each is tried at every shift
    std::vector<MultiPolygon> parcels;  // all that lie within kMostShiftM of one of the roofs
};

inline constexpr double kMostShiftM = 40.0;

// parcels_shifted, else roofs_across_parcels. Roofs without a parcel within kMostShiftM are not asked. `where`: how
// messages name the parcels.
void judge_parcel_fit(const ParcelFit& fit, const std::string& where, Findings& findings);

}  // namespace eaveshed
