#include "eaveshed/hydraulics/certainty.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "eaveshed/core/constants.hpp"

namespace eaveshed {

namespace {

constexpr double kUniformVariance = 12.0;  // a uniform spread of width w has the variance w^2 / 12
constexpr double kYes = 0.9;
constexpr double kNo = 0.1;

double pad_variance_m2(double elevation_sd_m, double slope, double smaller_cell_side_m) {
    const double rise = slope * smaller_cell_side_m;
    return elevation_sd_m * elevation_sd_m + rise * rise / kUniformVariance;
}

}  // namespace

double normal_probability(double z) {
    return 0.5 * std::erfc(-z / std::numbers::sqrt2);
}

double probability_not_negative(double mean, double sd) {
    if (sd > 0.0) {
        return normal_probability(mean / sd);
    }
    if (mean == 0.0) {
        return 0.5;
    }
    return mean > 0.0 ? 1.0 : 0.0;
}

double elevation_sd_m(double rmse_m, double step_m) {
    return std::sqrt(rmse_m * rmse_m + step_m * step_m / kUniformVariance);
}

PadCertainty pad_certainty(double elevation_sd_m, double slope, double smaller_cell_side_m, double eave_sd_m) {
    const double cell_variance = elevation_sd_m * elevation_sd_m;
    const double pad_variance = pad_variance_m2(elevation_sd_m, slope, smaller_cell_side_m);
    return {std::sqrt(pad_variance), std::sqrt(pad_variance + cell_variance + eave_sd_m * eave_sd_m),
            kKpaPerMetre * std::sqrt(pad_variance + cell_variance)};
}

double gravity_probability(double fill_probability, double feed_probability) {
    return std::max(0.0, fill_probability + feed_probability - 1.0);
}

GravityCheck gravity_check(double fill_probability, double feed_probability) {
    if (gravity_probability(fill_probability, feed_probability) >= kYes) {
        return GravityCheck::yes;
    }
    return std::min(fill_probability, feed_probability) <= kNo ? GravityCheck::no : GravityCheck::cannot_tell;
}

}  // namespace eaveshed
