#include "portable_math.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace demo {
namespace {
constexpr double kTwoPi = 6.283185307179586;
// 1 / (2n (2n + 1)), the last of the Taylor series first; worked out once since each sine needs them all.
constexpr std::array<double, 9> kSineShares = {1.0 / 342, 1.0 / 272, 1.0 / 210, 1.0 / 156, 1.0 / 110,
                                               1.0 / 72,  1.0 / 42,  1.0 / 20,  1.0 / 6};
constexpr double kLn2 = 0.6931471805599453;
}  // namespace

double portable_exp(double x) {
    const double n = std::floor(x / kLn2 + 0.5);
    const double r = x - n * kLn2;
    double sum = 1.0;
    for (int i = 14; i >= 1; --i) {
        sum = 1.0 + sum * r / i;  // Taylor, |r| < 0.35
    }
    return std::ldexp(sum, static_cast<int>(n));
}

double portable_log(double x) {
    int exponent = 0;
    const double m = std::frexp(x, &exponent);
    const double s = (m - 0.75) / (m + 0.75);  // m = 0.75 (1 + s) / (1 - s), |s| <= 0.2
    const double s2 = s * s;
    double sum = 0.0;
    for (int i = 21; i >= 1; i -= 2) {
        sum = sum * s2 + 1.0 / i;
    }
    constexpr double kLogThreeQuarters = -0.2876820724517809;
    return 2.0 * s * sum + kLogThreeQuarters + exponent * kLn2;
}

double sine_of_turns(double turns) {
    double r = turns - std::floor(turns + 0.5);  // -0.5 .. 0.5
    if (r > 0.25) {
        r = 0.5 - r;
    }
    if (r < -0.25) {
        r = -0.5 - r;
    }
    const double x = kTwoPi * r;
    const double x2 = x * x;
    double sum = 1.0;
    for (double share : kSineShares) {
        sum = 1.0 - sum * x2 * share;
    }
    return x * sum;
}

double cosine_of_turns(double turns) {
    return sine_of_turns(turns + 0.25);
}

double smoothstep(double low, double high, double x) {
    const double t = std::clamp((x - low) / (high - low), 0.0, 1.0);
    return t * t * (3.0 - 2.0 * t);
}

double rounded_to(double value, double step) {
    if (step >= 1.0) {
        return std::floor(value / step + 0.5) * step;
    }
    const double per_unit = std::floor(1.0 / step + 0.5);  // dividing by 10 gives 0.3, multiplying by 0.1 does not
    return std::floor(value * per_unit + 0.5) / per_unit;
}

}  // namespace demo
