// A place as people find it again: in the output's coordinate reference system, and in degrees for any navigator.
#pragma once

#include <optional>

#include "eaveshed/crs/crs.hpp"

namespace eaveshed {

// In WGS 84.
struct Degrees {
    double longitude_deg = 0.0;  // east of Greenwich, -180 to 180
    double latitude_deg = 0.0;
    friend bool operator==(const Degrees&, const Degrees&) = default;
};

struct MapPlace {
    Point output;                    // in the output's CRS: easting or longitude, northing or latitude
    std::optional<Degrees> degrees;  // none where the output's CRS has no way to WGS 84
};

// The way from a CRS to WGS 84. Not thread-safe: one per worker.
class ToDegrees {
public:
    // A local CRS, one that is not given and one without a known operation have no way: every answer is none. `wgs84`:
    // EPSG:4326.
    ToDegrees(const Crs& from, const Crs& wgs84);

    // Rounded to 6 decimals: about 0.1 m.
    [[nodiscard]] std::optional<Degrees> operator()(Point point) const;
    [[nodiscard]] std::optional<Degrees> precise(Point point) const;

private:
    std::optional<Transform> m_transform;
};

}  // namespace eaveshed
