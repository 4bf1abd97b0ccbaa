#include "eaveshed/rank/counted_random.hpp"

#include <cmath>
#include <cstddef>

namespace eaveshed {

namespace {

// The multipliers and Weyl increments of the paper.
constexpr std::uint64_t kMultiplier0 = 0xD2511F53;
constexpr std::uint64_t kMultiplier1 = 0xCD9E8D57;
constexpr std::uint32_t kWeyl0 = 0x9E3779B9;
constexpr std::uint32_t kWeyl1 = 0xBB67AE85;
constexpr int kRounds = 10;

constexpr std::uint32_t high_word(std::uint64_t value) {
    return static_cast<std::uint32_t>(value >> 32U);
}

constexpr std::uint32_t low_word(std::uint64_t value) {
    return static_cast<std::uint32_t>(value);
}

// Coefficients by rising power, as published.
using Coefficients = std::array<double, 8>;
constexpr Coefficients kA{3.3871328727963666080e0,  1.3314166789178437745e+2, 1.9715909503065514427e+3,
                          1.3731693765509461125e+4, 4.5921953931549871457e+4, 6.7265770927008700853e+4,
                          3.3430575583588128105e+4, 2.5090809287301226727e+3};
constexpr Coefficients kB{1.0,
                          4.2313330701600911252e+1,
                          6.8718700749205790830e+2,
                          5.3941960214247511077e+3,
                          2.1213794301586595867e+4,
                          3.9307895800092710610e+4,
                          2.8729085735721942674e+4,
                          5.2264952788528545610e+3};
constexpr Coefficients kC{1.42343711074968357734e0,  4.63033784615654529590e0, 5.76949722146069140550e0,
                          3.64784832476320460504e0,  1.27045825245236838258e0, 2.41780725177450611770e-1,
                          2.27238449892691845833e-2, 7.74545014278341407640e-4};
constexpr Coefficients kD{1.0,
                          2.05319162663775882187e0,
                          1.67638483018380384940e0,
                          6.89767334985100004550e-1,
                          1.48103976427480074590e-1,
                          1.51986665636164571966e-2,
                          5.47593808499534494600e-4,
                          1.05075007164441684324e-9};
constexpr Coefficients kE{6.65790464350110377720e0,  5.46378491116411436990e0,  1.78482653991729133580e0,
                          2.96560571828504891230e-1, 2.65321895265761230930e-2, 1.24266094738807843860e-3,
                          2.71155556874348757815e-5, 2.01033439929228813265e-7};
constexpr Coefficients kF{1.0,
                          5.99832206555887937690e-1,
                          1.36929880922735805310e-1,
                          1.48753612908506148525e-2,
                          7.86869131145613259100e-4,
                          1.84631831751005468180e-5,
                          1.42151175831644588870e-7,
                          2.04426310338993978564e-15};

double polynomial(const Coefficients& coefficients, double x) {
    double value = coefficients.back();
    for (std::size_t i = coefficients.size() - 1; i-- > 0;) {
        value = value * x + coefficients[i];
    }
    return value;
}

double ratio(const Coefficients& above, const Coefficients& below, double x) {
    return polynomial(above, x) / polynomial(below, x);
}

double normal_of(std::uint32_t bits) {
    return normal_quantile((static_cast<double>(bits) + 0.5) * 0x1.0p-32);
}

}  // namespace

std::array<std::uint32_t, 4> philox_4x32_10(std::array<std::uint32_t, 4> counter, std::array<std::uint32_t, 2> key) {
    for (int round = 0; round < kRounds; ++round) {
        const std::uint64_t a = kMultiplier0 * counter[0];
        const std::uint64_t b = kMultiplier1 * counter[2];
        counter = {high_word(b) ^ counter[1] ^ key[0], low_word(b), high_word(a) ^ counter[3] ^ key[1], low_word(a)};
        key[0] += kWeyl0;
        key[1] += kWeyl1;
    }
    return counter;
}

double normal_quantile(double p) {
    const double q = p - 0.5;
    if (std::abs(q) <= 0.425) {
        return q * ratio(kA, kB, 0.180625 - q * q);
    }
    const double r = std::sqrt(-std::log(q < 0.0 ? p : 1.0 - p));
    const double z = r <= 5.0 ? ratio(kC, kD, r - 1.6) : ratio(kE, kF, r - 5.0);
    return q < 0.0 ? -z : z;
}

std::uint64_t id_hash(std::string_view id) {
    constexpr std::uint64_t kOffset = 0xCBF29CE484222325;
    constexpr std::uint64_t kPrime = 0x00000100000001B3;
    std::uint64_t hash = kOffset;
    for (const char c : id) {
        hash ^= static_cast<unsigned char>(c);
        hash *= kPrime;
    }
    return hash;
}

std::array<double, 4> four_normals(std::uint64_t seed, std::uint64_t hash, std::uint32_t draw) {
    const std::array<std::uint32_t, 4> bits =
        philox_4x32_10({draw, 0, low_word(hash), high_word(hash)}, {low_word(seed), high_word(seed)});
    return {normal_of(bits[0]), normal_of(bits[1]), normal_of(bits[2]), normal_of(bits[3])};
}

}  // namespace eaveshed
