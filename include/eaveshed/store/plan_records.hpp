// What the plan keeps on disk of every footprint, parcel, stream and exclusion, and how it is packed.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "eaveshed/core/measured.hpp"
#include "eaveshed/shape/polygon.hpp"

namespace eaveshed {

// A footprint as it goes into the computation; in the footprints' CRS.
struct FootprintRecord {
    std::string roof_id;
    std::optional<double> plan_area_m2;  // none for a bad geometry
    MultiPolygon outline;                // repaired, and grown by the overhang where walls were given; may be empty
    Point interior;                      // of the outline, when there is one
    double latitude_deg = 0.0;           // of the interior point
    std::optional<std::string> material;
    std::optional<double> storeys;
    std::optional<double> eave_height_m;
    std::optional<double> connected_share;
    // Only measured ones.
    std::optional<double> eave_elev_m;
    std::optional<double> runoff_coefficient;
    std::optional<double> pad_x;  // in the terrain's CRS
    std::optional<double> pad_y;
    MeasuredValues measured;
};

// A parcel; in the parcels' CRS.
struct ParcelRecord {
    std::string parcel_id;
    MultiPolygon outline;  // empty when it has no usable geometry
    Point interior;
    std::optional<double> people;
    std::optional<double> irrigated_area_m2;
    std::optional<double> season_use_m3;
    std::optional<std::string> water_source;
    std::optional<double> source_share;
    std::optional<double> stream_distance_m;
    std::optional<double> pump_lps;
    std::optional<double> existing_storage_m3;
    MeasuredValues measured;
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
