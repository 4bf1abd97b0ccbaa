#include "eaveshed/drawing/hillshade.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "eaveshed/terrain/slope.hpp"

namespace eaveshed {

namespace {

struct Direction {
    double east = 0.0;
    double north = 0.0;
    double up = 1.0;
};

Direction direction_of(const Lighting& lighting) {
    constexpr double kRadians = std::numbers::pi / 180.0;
    const double flat = std::cos(lighting.altitude_deg * kRadians);
    return {flat * std::sin(lighting.azimuth_deg * kRadians), flat * std::cos(lighting.azimuth_deg * kRadians),
            std::sin(lighting.altitude_deg * kRadians)};
}

}  // namespace

GreyImage hillshade(const RasterPatch& elevation_m, double cell_width_m, double cell_height_m,
                    const Lighting& lighting) {
    constexpr std::uint8_t kOpaque = 255;
    const CellRange& range = elevation_m.range;
    GreyImage image{range.rows(), range.cols(), {}, {}};
    image.grey.reserve(elevation_m.values.size());
    image.alpha.reserve(elevation_m.values.size());
    const Direction light = direction_of(lighting);
    for (std::int64_t row = range.row_begin; row < range.row_end; ++row) {
        for (std::int64_t col = range.col_begin; col < range.col_end; ++col) {
            const auto gradient = horn_gradient(elevation_m, row, col, 1, cell_width_m, cell_height_m);
            if (!gradient) {
                image.grey.push_back(kOpaque);
                image.alpha.push_back(0);
                continue;
            }
            const double east = lighting.exaggeration * gradient->east;
            const double north = lighting.exaggeration * gradient->north;
            const double lit =
                (light.up - east * light.east - north * light.north) / std::sqrt(1.0 + east * east + north * north);
            const double grey = lighting.darkest + (lighting.lightest - lighting.darkest) * std::clamp(lit, 0.0, 1.0);
            image.grey.push_back(static_cast<std::uint8_t>(std::lround(grey)));
            image.alpha.push_back(kOpaque);
        }
    }
    return image;
}

}  // namespace eaveshed
