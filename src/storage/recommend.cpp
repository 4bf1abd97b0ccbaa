#include "eaveshed/storage/recommend.hpp"

#include <algorithm>
#include <cmath>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

double volume_of(const OptionResult& option, bool dependable) {
    return dependable ? option.behaviour.replaced_dependable_m3.value_or(0.0) : option.behaviour.replaced_mean_m3;
}

void require_order(std::span<const OptionResult> options) {
    const auto key = [](const OptionResult& option) { return size_key(option.nominal_m3, option.count); };
    if (!std::ranges::is_sorted(options, {}, key)) {
        internal_error("storage options out of order");
    }
}

}  // namespace

std::pair<double, int> size_key(double nominal_m3, int count) {
    constexpr double kStepsPerM3 = 1e6;
    return {std::round(nominal_m3 * kStepsPerM3), count};
}

WorthTheirSize worth_their_size(std::span<const OptionResult> options, double marginal_yield) {
    constexpr double kSlack_m3 = 1e-9;
    require_order(options);
    WorthTheirSize worth;
    worth.dependable =
        std::ranges::any_of(options, [](const OptionResult& option) { return volume_of(option, true) > 0.0; });
    for (std::size_t i = 0; i < options.size(); ++i) {
        if (!worth.options.empty()) {
            const OptionResult& last = options[worth.options.back()];
            const double larger_m3 = std::max(0.0, options[i].usable_m3 - last.usable_m3);
            const double more_m3 = volume_of(options[i], worth.dependable) - volume_of(last, worth.dependable);
            if (more_m3 <= kSlack_m3 || more_m3 < marginal_yield * larger_m3 - kSlack_m3) {
                continue;
            }
        }
        worth.options.push_back(i);
        worth.best_m3 = volume_of(options[i], worth.dependable);  // each replaces more than those before it
    }
    return worth;
}

std::optional<std::size_t> recommended_option(std::span<const OptionResult> options, const RecommendRules& rules) {
    const WorthTheirSize worth = worth_their_size(options, rules.marginal_yield);
    if (worth.best_m3 <= 0.0) {
        return std::nullopt;
    }
    return *std::ranges::find_if(worth.options, [&](std::size_t i) {
        return volume_of(options[i], worth.dependable) >= rules.storage_share * worth.best_m3;
    });
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
