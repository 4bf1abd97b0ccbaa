// What the plan keeps on disk of every footprint, parcel, stream and exclusion, and how it is packed.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "eaveshed/facts/facts.hpp"
#include "eaveshed/shape/polygon.hpp"

namespace eaveshed {

// A footprint as it goes into the computation; in the footprints' CRS.
struct FootprintRecord {
    std::string roof_id;
    std::optional<double> plan_area_m2;  // none for a bad geometry
    MultiPolygon outline;                // repaired, and grown by the overhang where walls were given; may be empty
    Point interior;                      // of the outline, when there is one
    double latitude_deg = 0.0;           // of the interior point
    RoofFacts facts;                     // the pad's place in the terrain's CRS
};

// A parcel; in the parcels' CRS.
struct ParcelRecord {
    std::string parcel_id;
    MultiPolygon outline;  // empty when it has no usable geometry
    Point interior;
    std::optional<double> area_m2;  // on the ellipsoid; none without a usable geometry
    ParcelFacts facts;              // a measured use point in the terrain's CRS; without owner_key
};

// A stream, an exclusion or a road; in the terrain's CRS. One of the two shapes is empty.
struct ObstacleRecord {
    std::uint32_t layer =
        0;  // 0: the streams, the roads in a store of their own; else the number of the exclusion layer, from 1
    Line line;
    MultiPolygon area;
};

[[nodiscard]] std::vector<unsigned char> packed(const FootprintRecord& record);
[[nodiscard]] std::vector<unsigned char> packed(const ParcelRecord& record);
[[nodiscard]] std::vector<unsigned char> packed(const ObstacleRecord& record);
[[nodiscard]] FootprintRecord unpacked_footprint(std::span<const unsigned char> bytes);
[[nodiscard]] ParcelRecord unpacked_parcel(std::span<const unsigned char> bytes);
[[nodiscard]] ObstacleRecord unpacked_obstacle(std::span<const unsigned char> bytes);

}  // namespace eaveshed
