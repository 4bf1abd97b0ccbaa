// Friction by Darcy-Weisbach and Colebrook: the physical law behind the empirical formula that the program uses, kept
// here to hold that formula against.
#pragma once

#include <cmath>
#include <numbers>

namespace eaveshed::testing {

// Colebrook (1939), Darcy friction factor of turbulent flow; by fixed-point iteration on 1 / sqrt(f).
inline double colebrook(double reynolds, double relative_roughness) {
    double inverse_root = 7.0;
    for (int i = 0; i < 100; ++i) {
        inverse_root = -2.0 * std::log10(relative_roughness / 3.7 + 2.51 * inverse_root / reynolds);
    }
    return 1.0 / (inverse_root * inverse_root);
}

// Swamee and Jain (1976): the same without iteration, within 1 % of it.
inline double swamee_jain(double reynolds, double relative_roughness) {
    const double root = std::log10(relative_roughness / 3.7 + 5.74 / std::pow(reynolds, 0.9));
    return 0.25 / (root * root);
}

struct Water {
    double density_kg_m3 = 998.2;  // at 20 C
    double viscosity_pa_s = 1.002e-3;
};

struct RoundPipe {
    double bore_m = 0.0;
    double roughness_m = 0.0;

    [[nodiscard]] double speed_m_s(double flow_m3_s) const {
        return flow_m3_s / (std::numbers::pi * bore_m * bore_m / 4.0);
    }
    [[nodiscard]] double reynolds(double flow_m3_s, const Water& water) const {
        return water.density_kg_m3 * speed_m_s(flow_m3_s) * bore_m / water.viscosity_pa_s;
    }
    // Head lost over a length with fittings whose loss coefficients sum to `fittings`.
    [[nodiscard]] double head_loss_m(double flow_m3_s, double length_m, double fittings, const Water& water,
                                     double gravity_m_s2) const {
        const double f = colebrook(reynolds(flow_m3_s, water), roughness_m / bore_m);
        const double speed = speed_m_s(flow_m3_s);
        return (f * length_m / bore_m + fittings) * speed * speed / (2.0 * gravity_m_s2);
    }
};

}  // namespace eaveshed::testing
