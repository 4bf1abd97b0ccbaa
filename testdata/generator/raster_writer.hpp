#pragma once
#include <vector>

#include "climate.hpp"
#include "flaws.hpp"
#include "terrain.hpp"

namespace demo {

// Each writes one GeoTIFF into plan.out_dir, strip by strip, and throws std::runtime_error when the disk refuses.
void write_elevation(const BasinPlan& plan, const Terrain& terrain,
                     const std::vector<ElevationHole>& holes);                 // dem.tif
void write_rain(const BasinPlan& plan, const Climate& climate);                // rain_daily.tif
void write_evapotranspiration(const BasinPlan& plan, const Climate& climate);  // et0.tif

}  // namespace demo
