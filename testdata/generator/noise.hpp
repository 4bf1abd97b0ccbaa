// Gradient noise on an integer lattice: smooth, zero at lattice points, about -0.7 .. 0.7, a pure function of its
// arguments.
#pragma once
#include <cstdint>

namespace demo {

double gradient_noise(std::uint64_t key, double x, double y);

}  // namespace demo
