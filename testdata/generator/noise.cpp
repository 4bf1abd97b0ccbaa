#include "noise.hpp"

#include <array>
#include <cmath>

#include "random.hpp"

namespace demo {
namespace {

constexpr double kDiagonal = 0.7071067811865476;
constexpr std::array<std::array<double, 2>, 8> kDirections = {{{1, 0},
                                                               {kDiagonal, kDiagonal},
                                                               {0, 1},
                                                               {-kDiagonal, kDiagonal},
                                                               {-1, 0},
                                                               {-kDiagonal, -kDiagonal},
                                                               {0, -1},
                                                               {kDiagonal, -kDiagonal}}};

double corner(std::uint64_t key, std::int64_t ix, std::int64_t iy, double dx, double dy) {
    const std::uint64_t place =
        (static_cast<std::uint64_t>(ix) << 32) ^ (static_cast<std::uint64_t>(iy) & 0xFFFFFFFFULL);
    const auto& d = kDirections[mix_bits(key ^ mix_bits(place)) >> 61];
    return d[0] * dx + d[1] * dy;
}

// Quintic fade: first and second derivative vanish at the lattice, so slopes show no creases.
double fade(double t) {
    return t * t * t * (t * (t * 6.0 - 15.0) + 10.0);
}

}  // namespace

double gradient_noise(std::uint64_t key, double x, double y) {
    const double fx = std::floor(x);
    const double fy = std::floor(y);
    const auto ix = static_cast<std::int64_t>(fx);
    const auto iy = static_cast<std::int64_t>(fy);
    const double dx = x - fx;
    const double dy = y - fy;
    const double u = fade(dx);
    const double south = corner(key, ix, iy, dx, dy) * (1.0 - u) + corner(key, ix + 1, iy, dx - 1.0, dy) * u;
    const double north =
        corner(key, ix, iy + 1, dx, dy - 1.0) * (1.0 - u) + corner(key, ix + 1, iy + 1, dx - 1.0, dy - 1.0) * u;
    const double v = fade(dy);
    return south * (1.0 - v) + north * v;
}

}  // namespace demo
