#include "eaveshed/demand/source_share.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace eaveshed {

namespace {

struct ClassRow {
    std::string_view name;
    double share;
};

// In the order of WaterSource.
constexpr std::array<ClassRow, 6> kClasses{{
    {"creek", 1.0},
    {"spring", 1.0},
    {"shallow_well", 1.0},
    {"deep_well", 0.0},
    {"mains", 0.0},
    {"unknown", 0.0},
}};

}  // namespace

std::string_view to_text(WaterSource source) {
    return kClasses.at(static_cast<std::size_t>(source)).name;
}

std::optional<WaterSource> water_source_from_text(std::string_view text) {
    for (std::size_t i = 0; i < kClasses.size(); ++i) {
        if (kClasses[i].name == text) {
            return static_cast<WaterSource>(i);
        }
    }
    return std::nullopt;
}

double class_share(WaterSource source) {
    return kClasses.at(static_cast<std::size_t>(source)).share;
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
                         double season_days) {
    if (given_share && *given_share >= 0.0 && *given_share <= 1.0) {
        return {*given_share, false, ShareBasis::given};
    }
    if (source == WaterSource::shallow_well && well.distance_m && well.transmissivity_m2_day &&
        well.storage_coefficient && *well.distance_m >= 0.0 && *well.transmissivity_m2_day > 0.0 &&
        *well.storage_coefficient > 0.0) {
        return {stream_depletion_share(*well.distance_m, *well.transmissivity_m2_day, *well.storage_coefficient,
                                       season_days),
                false, ShareBasis::well};
    }
    return {class_share(source), source == WaterSource::unknown, ShareBasis::source_class};
}

}  // namespace eaveshed
