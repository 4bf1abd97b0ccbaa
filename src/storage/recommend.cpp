#include "eaveshed/storage/recommend.hpp"

#include <algorithm>
#include <utility>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

double volume_of(const OptionResult& option, bool dependable) {
    return dependable ? option.behaviour.replaced_dependable_m3.value_or(0.0) : option.behaviour.replaced_mean_m3;
}

}  // namespace

std::optional<BestVolume> best_volume(std::span<const OptionResult> options) {
    for (const bool dependable : {true, false}) {
        double best = 0.0;
        for (const OptionResult& option : options) {
            best = std::max(best, volume_of(option, dependable));
        }
        if (best > 0.0) {
            return BestVolume{best, dependable};
        }
    }
    return std::nullopt;
}

std::optional<std::size_t> recommended_option(std::span<const OptionResult> options, double storage_share) {
    const auto size = [](const OptionResult& option) { return std::pair(option.nominal_m3, option.count); };
    if (!std::ranges::is_sorted(options, {}, size)) {
        internal_error("storage options out of order");
    }
    const auto best = best_volume(options);
    if (!best) {
        return std::nullopt;
    }
    const auto found = std::ranges::find_if(options, [&](const OptionResult& option) {
        return volume_of(option, best->dependable) >= storage_share * best->volume_m3;
    });
    return static_cast<std::size_t>(found - options.begin());
}

LimitedBy limited_by(const OptionResult& option, double harvest_m3, const LimitRules& rules) {
    constexpr double kCountTolerance = 1e-9;
    const Behaviour& behaviour = option.behaviour;
    if (behaviour.seasons_met >= rules.reliability * behaviour.seasons - kCountTolerance ||
        behaviour.volume_reliability >= rules.storage_share) {
        return LimitedBy::demand;
    }
    return option.usable_m3 - rules.reserve_m3 <= harvest_m3 ? LimitedBy::tank : LimitedBy::roof;
}

bool needs_permit_check(double tank_volume_m3, double diameter_m, double height_m, const PermitLimits& limits) {
    return tank_volume_m3 > limits.volume_m3 || height_m / diameter_m > limits.ratio;
}

}  // namespace eaveshed
