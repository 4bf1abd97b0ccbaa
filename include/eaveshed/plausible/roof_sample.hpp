// What was seen of a roof of an even sample: by it the checks of core/check_code.hpp judge inputs that are sound as
// files.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace eaveshed {

struct RoofSample {
    std::string id;  // as messages show it
    double plan_area_m2 = 0.0;
    bool computed = false;                  // its status is ok: of others only the area is judged
    std::optional<double> eave_height_m;    // of the data; above 0
    std::optional<double> storeys;          // above 0
    std::optional<double> connected_share;  // of the data; above 0
    bool source_unknown = false;            // of its parcel's water, or there is no parcel
    std::optional<double> parcel_share;     // its area by its parcel's
    std::uint32_t parcel_roofs = 0;         // on its parcel, itself included; 0 without a parcel
    // What the rasters say; looked at for some of the roofs only.
    std::optional<bool> excluded;     // its middle lies in an area of the exclusions
    std::optional<double> slope_pct;  // of the plane through the ground around it
    std::optional<double> ground_m;   // elevation of the ground at it
    double x_m = 0.0;                 // its place in metres, for distances to neighbours
    double y_m = 0.0;
    std::optional<double> stands_up_m;        // middle elevation inside the outline above that around it
    std::optional<double> surface_m;          // of the surface above the ground: what its eave would be taken from
    std::optional<double> surface_beside_m;   // lowest quarter of surface less elevation around it
    std::optional<double> surface_by_ground;  // middle of surface by elevation around it; of elevations only
};

// The whole of what was looked at.
struct BasinSample {
    std::vector<RoofSample> roofs;
    std::uint64_t of = 0;  // roofs of which they were drawn evenly
    bool has_surface = false;
    bool has_exclusions = false;
};

}  // namespace eaveshed
