// Repeatable random numbers for property tests: the same on every machine and standard library.
#pragma once

#include <cstdint>
#include <random>

namespace eaveshed::testing {

class RandomNumbers {
public:
    explicit RandomNumbers(std::uint64_t seed) : m_engine(seed) {}

    // Uniform in [low, high).
    double between(double low, double high) {
        return low + (high - low) * (static_cast<double>(m_engine() >> 11U) * 0x1.0p-53);
    }
    // Uniform among low, low + 1, ..., high.
    int whole(int low, int high) {
        return low + static_cast<int>(m_engine() % static_cast<std::uint64_t>(high - low + 1));
    }
    bool chance(double share) { return between(0.0, 1.0) < share; }

private:
    std::mt19937_64 m_engine;
};

}  // namespace eaveshed::testing
