// How sure gravity is, given how well heights are known.
#pragma once

#include "eaveshed/core/outcomes.hpp"

namespace eaveshed {

// 90 % quantile of the standard normal distribution: a margin this many standard deviations wide holds nine times in
// ten.
// method.md 6.18.
inline constexpr double kSureSds = 1.2815515655446004;

// Standard normal distribution function, to a few units in the last place also far out in the tails.
[[nodiscard]] double normal_probability(double z);

// Probability that a normal quantity with this mean and standard deviation (>= 0) is not negative. Without any spread:
// 1, one half at exactly 0, or 0.
// method.md 6.16.
[[nodiscard]] double probability_not_negative(double mean, double sd);

// Standard deviation of one cell's elevation: the raster's error and, for whole numbers, the rounding to `step_m`,
// whose variance is step^2 / 12. Both >= 0.
// method.md 6.15.
[[nodiscard]] double elevation_sd_m(double rmse_m, double step_m);

// How much fill margin makes a fill sure.
[[nodiscard]] constexpr double sure_margin_m(double fill_sd_m) {
    return kSureSds * fill_sd_m;
}

struct PadCertainty {
    double pad_sd_m = 0.0;
    double fill_sd_m = 0.0;
    double feed_sd_kpa = 0.0;
};

// The pad's height is known as well as a cell's and to where in its cell it lies (slope x side, uniform). Fill compares
// it with the eave, which rests on the ground and on what the eave's height is taken from; feed with the use point.
// method.md 6.15.
[[nodiscard]] PadCertainty pad_certainty(double elevation_sd_m, double slope, double smaller_cell_side_m,
                                         double eave_sd_m);

// The probability that both hold, the least that it can be: pad height enters the two with opposite signs.
// method.md 6.16.
[[nodiscard]] double gravity_probability(double fill_probability, double feed_probability);

// Yes from 0.9; no when the less likely of the two holds with 0.1 or less; else the heights cannot tell.
// method.md 6.17.
[[nodiscard]] GravityCheck gravity_check(double fill_probability, double feed_probability);

}  // namespace eaveshed
