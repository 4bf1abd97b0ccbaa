#include "eaveshed/notes/load.hpp"

#include <numbers>

#include "eaveshed/core/constants.hpp"

namespace eaveshed {

double bearing_kpa(double mass_t, const TankBases& bases) {
    // A metre of water weighs kKpaPerMetre on a square metre, and is a tonne.
    const double base_m2 = bases.count * std::numbers::pi / 4.0 * bases.diameter_m * bases.diameter_m;
    return kKpaPerMetre * mass_t / base_m2;
}

}  // namespace eaveshed
