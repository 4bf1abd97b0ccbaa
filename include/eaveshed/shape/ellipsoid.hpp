// The ellipsoid: areas on it and lengths of a degree.
#pragma once

#include "eaveshed/shape/polygon.hpp"

namespace eaveshed {

struct Ellipsoid {
    double semi_major_m = 6378137.0;  // a
    double flattening = 1.0 / 298.257223563;
};

// Area in m2 between geodesics through the vertices (x longitude, y latitude, degrees), holes subtracted and parts
// added, whatever the rings' direction. Antimeridian and poles are no special case. By PROJ's geodesic routines (Karney
// 2013, Algorithms for geodesics, J. Geodesy 87): about 0.1 m2 per vertex at worst. Each edge's area is counted from
// the equator, which leaves some 1e-5 m2 of rounding an edge: about 1e-6 of a roof of 20 m2, nothing to a larger one.
// method.md 1.5.
[[nodiscard]] double geodesic_area_m2(const MultiPolygon& lon_lat_deg, const Ellipsoid& ellipsoid);

// Length in m of the geodesic between two places (x longitude, y latitude, degrees), by the same routines: to
// nanometres.
// method.md 2.11.
[[nodiscard]] double geodesic_distance_m(Point a_deg, Point b_deg, const Ellipsoid& ellipsoid);

// Metres per degree along the parallel and the meridian: (pi/180) N cos(lat) and (pi/180) M, with N and M the radii of
// curvature in the prime vertical and the meridian (Snyder 1987, Map Projections: a working manual, eq. 4-20, 4-19).
// method.md 0.12.
struct MetresPerDegree {
    double east = 0.0;
    double north = 0.0;
};
[[nodiscard]] MetresPerDegree metres_per_degree(double latitude_deg, const Ellipsoid& ellipsoid);

}  // namespace eaveshed
