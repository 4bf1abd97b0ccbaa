#include "eaveshed/notes/fire.hpp"

#include <algorithm>

#include "eaveshed/core/constants.hpp"

namespace eaveshed {

namespace {

constexpr double kM3PerFt3 = kMetresPerFoot * kMetresPerFoot * kMetresPerFoot;
constexpr double kM3PerGallon = 231.0 * 0.0254 * 0.0254 * 0.0254;  // US gallon of 231 in3: exact
constexpr double kLeastGal = 2000.0;
constexpr double kLeastExposedGal = 3000.0;
constexpr double kExposed = 1.5;

}  // namespace

FireWater fire_water_need(const StructureAtRisk& structure) {
    // The rule gives gallons for cubic feet.
    const double gal = structure.volume_m3 / kM3PerFt3 / structure.occupancy_hazard * structure.construction;
    return {std::max(kLeastGal, gal) * kM3PerGallon, std::max(kLeastExposedGal, kExposed * gal) * kM3PerGallon};
}

}  // namespace eaveshed
