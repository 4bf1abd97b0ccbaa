// How a store does over the counted years.
#pragma once

#include <optional>
#include <span>

#include "eaveshed/storage/store.hpp"

namespace eaveshed {

// A season is met when no more than this is missing.
inline constexpr double kMetWithin_m3 = 1e-9;

// method.md 5.7.
struct Behaviour {
    double replaced_mean_m3 = 0.0;
    std::optional<double> replaced_dependable_m3;  // none: a mean year knows no dry winter
    std::optional<double> replaced_worst_m3;
    double season_reliability = 0.0;  // share of seasons whose demand is met, to 1e-9 m3
    double volume_reliability = 0.0;  // all yield / all demand; 1 without demand
    double full_winters_share = 0.0;
    double overflow_mean_m3 = 0.0;
    int seasons_met = 0;
    int seasons = 0;

    // The forbearance volume, m3 per season: dependable, or mean where there is no dependable value.
    [[nodiscard]] double forbearance_m3() const { return replaced_dependable_m3.value_or(replaced_mean_m3); }
};

// Over the years of one run, not empty. Of a mean year (monthly normals) the caller clears the dependable and the worst
// value, or puts those of an assumed dry winter in their place.
[[nodiscard]] Behaviour behaviour(std::span<const YearOfStore> years, double reliability);

// A volume per season as a mean rate over the season's days, L/s.
// method.md 5.10.
[[nodiscard]] constexpr double mean_rate_lps(double volume_m3, int days) {
    return volume_m3 * 1000.0 / (86400.0 * static_cast<double>(days));
}

}  // namespace eaveshed
