#include "eaveshed/demand/source_share.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace eaveshed {

namespace {

bool known(const WellSetting& well) {
    return well.distance_m && well.transmissivity_m2_day && well.storage_coefficient && *well.distance_m >= 0.0 &&
           *well.transmissivity_m2_day > 0.0 && *well.storage_coefficient > 0.0;
}

SourceShare share_of_shallow_well(const WellSetting& well, double shallow_well_share, double season_days) {
    if (!known(well)) {
        return {shallow_well_share, false, ShareBasis::assumed_well};
    }
    return {
        stream_depletion_share(*well.distance_m, *well.transmissivity_m2_day, *well.storage_coefficient, season_days),
        false, ShareBasis::well};
}

}  // namespace

WaterSource water_source(const std::optional<std::string>& field, WaterSource fallback) {
    return field && !field->empty() ? from_text<WaterSource>(*field).value_or(WaterSource::unknown) : fallback;
}

double stream_depletion_share(double distance_m, double transmissivity_m2_day, double storage_coefficient,
                              double days) {
    const double factor_days = distance_m * distance_m * storage_coefficient / transmissivity_m2_day;
    const double z = std::sqrt(factor_days / (4.0 * days));
    // Far out erfc and exp are 0 long before z overflows; there the product with z would be no number.
    constexpr double kNothingBeyond = 30.0;
    if (z > kNothingBeyond) {
        return 0.0;
    }
    const double share =
        (1.0 + factor_days / (2.0 * days)) * std::erfc(z) - 2.0 * z * std::numbers::inv_sqrtpi * std::exp(-z * z);
    return std::clamp(share, 0.0, 1.0);
}

SourceShare source_share(WaterSource source, std::optional<double> given_share, const WellSetting& well,
                         double shallow_well_share, double season_days) {
    if (given_share && *given_share >= 0.0 && *given_share <= 1.0) {
        return {*given_share, false, ShareBasis::given};
    }
    switch (source) {
        case WaterSource::creek:
        case WaterSource::spring: return {1.0, false, ShareBasis::source_class};
        case WaterSource::shallow_well: return share_of_shallow_well(well, shallow_well_share, season_days);
        case WaterSource::deep_well:
        case WaterSource::mains: return {0.0, false, ShareBasis::source_class};
        case WaterSource::unknown: break;
    }
    return {0.0, true, ShareBasis::source_class};
}

}  // namespace eaveshed
