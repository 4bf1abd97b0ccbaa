#include "eaveshed/storage/recommend.hpp"

#include <algorithm>
#include <utility>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

template <typename Volume>
std::optional<std::size_t> smallest_good_enough(std::span<const OptionResult> options, double storage_share,
                                                Volume volume) {
    double best = 0.0;
    for (const OptionResult& option : options) {
        best = std::max(best, volume(option));
    }
    if (!(best > 0.0)) {
        return std::nullopt;
    }
    const auto found = std::find_if(options.begin(), options.end(),
                                    [&](const OptionResult& option) { return volume(option) >= storage_share * best; });
    return static_cast<std::size_t>(found - options.begin());
}

}  // namespace

std::optional<std::size_t> recommended_option(std::span<const OptionResult> options, double storage_share) {
    const auto size = [](const OptionResult& option) { return std::pair(option.nominal_m3, option.count); };
    if (!std::ranges::is_sorted(options, {}, size)) {
        internal_error("storage options out of order");
    }
    const auto dependable = [](const OptionResult& option) {
        return option.behaviour.replaced_dependable_m3.value_or(0.0);
    };
    const auto mean = [](const OptionResult& option) { return option.behaviour.replaced_mean_m3; };
    if (const auto found = smallest_good_enough(options, storage_share, dependable)) {
        return found;
    }
    return smallest_good_enough(options, storage_share, mean);
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
