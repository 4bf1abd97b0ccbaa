// The lie of the land as a grey picture.
#pragma once

#include <cstdint>
#include <vector>

#include "eaveshed/core/raster.hpp"

namespace eaveshed {

// Row-major, row 0 at the top. `alpha` 0 where nothing is known, else 255.
struct GreyImage {
    std::int64_t rows = 0;
    std::int64_t cols = 0;
    std::vector<std::uint8_t> grey;
    std::vector<std::uint8_t> alpha;
};

struct Lighting {
    double azimuth_deg = 315.0;   // from the north-west: common practice
    double altitude_deg = 45.0;   // common practice
    double exaggeration = 1.0;    // of heights
    std::uint8_t darkest = 110;   // grey of full shadow: what lies on it must stay readable
    std::uint8_t lightest = 255;  // of ground that faces the light
};

// The share of light that ground with Horn's gradient (terrain/slope.hpp) throws back, as of a matt surface: the cosine
// between its normal and the light, 0 where it faces away. `elevation_m`: north-up; cell sides > 0, m on the ground.
// Cells without one of their eight neighbours, at the edge too, are left out (alpha 0).
[[nodiscard]] GreyImage hillshade(const RasterPatch& elevation_m, double cell_width_m, double cell_height_m,
                                  const Lighting& lighting = {});

}  // namespace eaveshed
