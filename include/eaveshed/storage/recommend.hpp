// Which option of the catalogue, and what keeps it from replacing more.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <utility>
#include <vector>

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

// By what options ascend: nominal volume, then count. The last bits of a nominal volume order nothing.
// method.md 5.1.
[[nodiscard]] std::pair<double, int> size_key(double nominal_m3, int count);

// The options that are worth their size. The first is; each later one where it replaces more than the last before it
// that is, and more by at least `marginal_yield` of the volume by which its usable volume is larger. Volumes are
// dependable ones, or means where every dependable one is 0 or none. `options` ascend by size_key (else a broken
// invariant).
// method.md 5.8.
struct WorthTheirSize {
    std::vector<std::size_t> options;  // positions, ascending; empty where there are none
    bool dependable = true;            // compared by dependable volumes; else by means
    double best_m3 = 0.0;              // the most that one of them replaces
};
[[nodiscard]] WorthTheirSize worth_their_size(std::span<const OptionResult> options, double marginal_yield);

struct RecommendRules {
    double storage_share = 0.0;   // of the best volume that is enough
    double marginal_yield = 0.0;  // least gain of a larger option, of the volume by which it is larger
};

// Of the options worth their size the smallest that replaces at least `storage_share` of the best of them; none where
// that is 0.
// method.md 5.8.
[[nodiscard]] std::optional<std::size_t> recommended_option(std::span<const OptionResult> options,
                                                            const RecommendRules& rules);

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
