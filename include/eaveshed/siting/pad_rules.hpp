// What the search for a pad is told, as plain numbers: where tanks may stand, how water gets in and out, what is
// uncertain.
#pragma once

#include <array>
#include <cstddef>
#include <limits>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/hydraulics/friction.hpp"
#include "eaveshed/siting/siting_rule.hpp"

namespace eaveshed {

// What each rule (siting_rule.hpp) compares with, in the unit of its setting; 0 for one without a limit.
class PadLimits {
public:
    [[nodiscard]] constexpr double& operator[](PadReason rule) { return m_limits[static_cast<std::size_t>(rule)]; }
    [[nodiscard]] constexpr double operator[](PadReason rule) const { return m_limits[static_cast<std::size_t>(rule)]; }

private:
    std::array<double, kPadRules> m_limits{};
};

// Lengths and heights in m, horizontal distances in m, pressures in kPa.
struct PadRules {
    // Where a pad may be.
    double pad_margin_m = 0.0;  // level ground around the tanks
    double max_fill_m = 0.0;    // farthest from the roof
    PadLimits limits;
    // No option that is searched for needs less around the middle of its pad (TankGround::core_radius_m).
    double least_core_radius_m = -std::numeric_limits<double>::infinity();
    // The way in.
    double fill_loss_m = 0.0;
    double fill_gradient = 0.0;
    double fill_weight = 0.0;  // metres of feed pipe that one metre of fill line is worth
    // The way out.
    double outlet_height_m = 0.0;
    double tap_height_m = 0.0;
    double pipe_slack = 1.0;        // pipe length over straight length
    double friction_m_per_m = 0.0;  // head lost per metre of pipe at the design flow
    double filter_loss_kpa = 0.0;
    double required_kpa = 0.0;
    double minimum_kpa = 0.0;
    double pressure_step_kpa = 1.0;  // > 0; pressures in one step are as good as each other
    double lift_step_m = 1.0;        // > 0; so are lifts of a pump into the tank
    // What is known of the ground.
    double elevation_sd_m = 0.0;  // of one cell (certainty.hpp)
};

// One storage option as the search sees it.
struct Tanks {
    double diameter_m = 0.0;  // of one tank
    double height_m = 0.0;
    int count = 1;
    double reserve_depth_m = 0.0;  // water above the outlet that is never drawn

    [[nodiscard]] double drawn_depth_m(double outlet_height_m) const {
        return height_m - outlet_height_m - reserve_depth_m;
    }
};

}  // namespace eaveshed
