// Seeded random numbers that are the same on every machine: whole-number arithmetic only.
// The distributions of the standard library differ from one library to the next, so none is used.
#pragma once
#include <cstdint>
#include <initializer_list>

namespace demo {

// What a stream of numbers is for; a key of its own keeps one choice from moving all later ones.
enum class Purpose : std::uint64_t {
    kValley = 1,
    kTributary,
    kStream,
    kVillage,
    kLotWalk,
    kLotUse,
    kBuilding,
    kRoof,
    kParcel,
    kOwner,
    kTap,
    kYear,
    kDay,
    kStorm,
    kNoise
};

constexpr std::uint64_t mix_bits(std::uint64_t h) {
    h += 0x9E3779B97F4A7C15ULL;
    h = (h ^ (h >> 30)) * 0xBF58476D1CE4E5B9ULL;
    h = (h ^ (h >> 27)) * 0x94D049BB133111EBULL;
    return h ^ (h >> 31);
}

class Random {
public:
    Random(std::uint64_t seed, Purpose purpose, std::initializer_list<std::int64_t> key = {})
        : m_state(mix_bits(seed ^ mix_bits(static_cast<std::uint64_t>(purpose)))) {
        for (std::int64_t part : key) {
            m_state = mix_bits(m_state ^ static_cast<std::uint64_t>(part));
        }
    }

    std::uint64_t next() {
        m_state += 0x9E3779B97F4A7C15ULL;
        return mix_bits(m_state);
    }
    double uniform() { return static_cast<double>(next() >> 11) * 0x1.0p-53; }  // 0 <= u < 1
    double range(double low, double high) { return low + (high - low) * uniform(); }
    bool chance(double probability) { return uniform() < probability; }
    int whole(int count) { return static_cast<int>(next() % static_cast<std::uint64_t>(count)); }  // 0 .. count-1

    // Irwin-Hall: the sum of twelve uniforms, near enough to normal (|z| <= 6) and free of log and cos.
    double normal() {
        double sum = -6.0;
        for (int i = 0; i < 12; ++i) {
            sum += uniform();
        }
        return sum;
    }

    // Index of one weight, drawn in proportion.
    int weighted(std::initializer_list<double> weights) {
        double total = 0.0;
        for (double w : weights) {
            total += w;
        }
        double left = uniform() * total;
        int index = 0;
        for (double w : weights) {
            if (left < w) {
                return index;
            }
            left -= w;
            ++index;
        }
        return index - 1;
    }

private:
    std::uint64_t m_state;
};

}  // namespace demo
