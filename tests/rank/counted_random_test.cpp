// method.md 8.6: random numbers.
#include "eaveshed/rank/counted_random.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <set>

namespace eaveshed {
namespace {

using Words = std::array<std::uint32_t, 4>;

// Known answers of the authors' Random123 library for philox4x32, 10 rounds (from memory).
TEST(Philox, GivesThePublishedAnswers) {
    constexpr std::uint32_t kOnes = 0xFFFFFFFF;
    EXPECT_EQ(philox_4x32_10({0, 0, 0, 0}, {0, 0}), (Words{0x6627E8D5, 0xE169C58D, 0xBC57AC4C, 0x9B00DBD8}));
    EXPECT_EQ(philox_4x32_10({kOnes, kOnes, kOnes, kOnes}, {kOnes, kOnes}),
              (Words{0x408F276D, 0x41C83B0E, 0xA20BC7C6, 0x6D5451FD}));
    EXPECT_EQ(philox_4x32_10({0x243F6A88, 0x85A308D3, 0x13198A2E, 0x03707344}, {0xA4093822, 0x299F31D0}),
              (Words{0xD16CFE09, 0x94FDCCEB, 0x5001E420, 0x24126EA1}));
}

// Wichura 1988, check values of PPND16 (from memory): one for each of the three ranges.
TEST(NormalQuantile, GivesThePublishedValues) {
    EXPECT_NEAR(normal_quantile(0.25), -0.6744897501960817, 1e-15);
    EXPECT_NEAR(normal_quantile(0.001), -3.090232306167814, 1e-14);
    EXPECT_NEAR(normal_quantile(1e-20), -9.262340089798408, 1e-14);
    EXPECT_EQ(normal_quantile(0.5), 0.0);
}

TEST(NormalQuantile, UndoesTheDistributionFunction) {
    for (double z = -6.3; z <= 6.3; z += 0.01) {
        const double p = 0.5 * std::erfc(-z / std::numbers::sqrt2);
        const double slope = std::exp(-0.5 * z * z) / std::sqrt(2.0 * std::numbers::pi);
        EXPECT_NEAR(normal_quantile(p), z, 1e-14 + 2e-16 / slope) << z;  // the last bit of p near 1
    }
}

// The test strings of the authors' description of FNV-1a, 64 bit (from memory).
TEST(IdHash, GivesThePublishedAnswers) {
    EXPECT_EQ(id_hash(""), 0xCBF29CE484222325U);
    EXPECT_EQ(id_hash("a"), 0xAF63DC4C8601EC8CU);
    EXPECT_EQ(id_hash("foobar"), 0x85944171F73967E8U);
}

TEST(FourNormals, HaveTheMomentsOfTheNormalDistributionAndNoCorrelation) {
    constexpr int kDraws = 100'000;
    std::array<double, 4> sum{};
    std::array<double, 4> square{};
    std::array<double, 4> fourth{};
    double product = 0.0;
    for (std::uint32_t draw = 0; draw < kDraws; ++draw) {
        const std::array<double, 4> z = four_normals(1, id_hash("17-042"), draw);
        for (std::size_t i = 0; i < 4; ++i) {
            sum[i] += z[i];
            square[i] += z[i] * z[i];
            fourth[i] += z[i] * z[i] * z[i] * z[i];
        }
        product += z[0] * z[1] + z[1] * z[2] + z[2] * z[3];
    }
    // Five standard errors: 1, sqrt 2, sqrt 96 and sqrt 3 over the root of the number.
    const double root = std::sqrt(static_cast<double>(kDraws));
    for (std::size_t i = 0; i < 4; ++i) {
        EXPECT_NEAR(sum[i] / kDraws, 0.0, 5.0 / root);
        EXPECT_NEAR(square[i] / kDraws, 1.0, 5.0 * std::sqrt(2.0) / root);
        EXPECT_NEAR(fourth[i] / kDraws, 3.0, 5.0 * std::sqrt(96.0) / root);
    }
    EXPECT_NEAR(product / kDraws, 0.0, 5.0 * std::sqrt(3.0) / root);
}

TEST(FourNormals, DifferBySeedParcelAndDrawAndRepeatExactly) {
    std::set<std::array<double, 4>> seen;
    for (std::uint64_t seed = 0; seed < 4; ++seed) {
        for (const std::uint64_t hash : {id_hash("1"), id_hash("2"), id_hash("1") ^ (std::uint64_t{1} << 40U)}) {
            for (std::uint32_t draw = 0; draw < 50; ++draw) {
                seen.insert(four_normals(seed, hash, draw));
                EXPECT_EQ(four_normals(seed, hash, draw), four_normals(seed, hash, draw));
            }
        }
    }
    EXPECT_EQ(seen.size(), 4U * 3U * 50U);
}

}  // namespace
}  // namespace eaveshed
