// Head lost to friction in a full pipe, by Hazen and Williams.
#pragma once

#include "eaveshed/core/constants.hpp"
#include "eaveshed/hydraulics/head.hpp"

namespace eaveshed {

// Positive along the pipe, negative against it.
struct Flow {
    double m3_per_s = 0.0;
};

[[nodiscard]] constexpr Flow litres_per_second(double value) {
    return {value / kLitresPerM3};
}

// A kind of pipe: clear width and smoothness. Invariant: both > 0.
struct Pipe {
    double bore_m = 0.0;
    double hazen_williams_c = 0.0;  // about 150 for smooth plastic, 100 for old iron
};

// Head lost per metre of pipe, m/m: 10.67 q^1.852 / (C^1.852 D^4.8704) with q in m3/s and D in m (Williams and Hazen
// 1905, Hydraulic Tables, in the customary SI form). Odd in the flow: water running backwards loses head backwards. An
// empirical fit for turbulent water near 15 C; where the flow is laminar, a trickle in a garden hose, it is only a
// guide.
// method.md 6.12.
[[nodiscard]] double friction_slope(const Pipe& pipe, Flow flow);

// The same over a length of pipe (>= 0).
[[nodiscard]] Head friction_loss(const Pipe& pipe, double length_m, Flow flow);

// The flow that loses this much head per metre of pipe; the inverse of friction_slope, odd like it.
[[nodiscard]] Flow flow_at_slope(const Pipe& pipe, double slope);

}  // namespace eaveshed
