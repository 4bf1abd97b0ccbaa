// Which option of the catalogue, and what keeps it from replacing more.
#pragma once

#include <cstddef>
#include <optional>
#include <span>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/storage/behaviour.hpp"

namespace eaveshed {

// What an option of the catalogue does at one roof.
struct OptionResult {
    double nominal_m3 = 0.0;  // all tanks
    int count = 1;            // tanks
    double usable_m3 = 0.0;   // all tanks, above the outlet
    Behaviour behaviour;
};

// Of the nominal volume, what stands above the outlet. height_m > 0. Not above the reserve: the option is left out.
// method.md 5.2.
[[nodiscard]] constexpr double usable_m3(double nominal_m3, double height_m, double outlet_height_m) {
    return nominal_m3 * (1.0 - outlet_height_m / height_m);
}

// The most that any option replaces: dependable, or in the mean where every dependable value is 0 or none.
struct BestVolume {
    double volume_m3 = 0.0;
    bool dependable = true;
};

// None where all means are 0.
[[nodiscard]] std::optional<BestVolume> best_volume(std::span<const OptionResult> options);

// The smallest option whose dependable replaced volume is at least `storage_share` of the best; by the mean volume
// where every dependable value is 0 or none; no option where all means are 0. `options` ascend by nominal volume, then
// count (else a broken invariant).
// method.md 5.8.
[[nodiscard]] std::optional<std::size_t> recommended_option(std::span<const OptionResult> options,
                                                            double storage_share);

struct LimitRules {
    double reliability = 0.0;    // share of seasons to be met
    double storage_share = 0.0;  // share of the volume that counts as all of it
    double reserve_m3 = 0.0;
};

// Demand, when enough seasons are met or enough of the volume is; else the smaller of the drawable volume (tank) and
// the harvest (roof), ties tank. `harvest_m3`: dependable winter harvest, the mean where there is none.
// method.md 5.9.
[[nodiscard]] LimitedBy limited_by(const OptionResult& option, double harvest_m3, const LimitRules& rules);

struct PermitLimits {
    double volume_m3 = 0.0;  // of one tank
    double ratio = 0.0;      // height : diameter
};

// Whether one tank is over either limit; at the limit it is not.
// method.md 5.11.
[[nodiscard]] bool needs_permit_check(double tank_volume_m3, double diameter_m, double height_m,
                                      const PermitLimits& limits);

}  // namespace eaveshed
