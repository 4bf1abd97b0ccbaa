// The floating-point predictor of one block of 512 x 512 undone: numbers a second.
#include <benchmark/benchmark.h>

#include <cstdint>
#include <vector>

#include "eaveshed/blocks/float_predictor.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

constexpr std::size_t kSide = 512;

// The loop takes as long for any bytes, so that undoing what was undone will do.
void predictor_undone(benchmark::State& state) {
    testing::RandomNumbers random(1);
    const auto width = static_cast<std::size_t>(state.range(0));
    std::vector<std::uint8_t> coded(kSide * width * sizeof(float));
    for (std::uint8_t& byte : coded) {
        byte = static_cast<std::uint8_t>(random.whole(0, 255));
    }
    std::vector<float> values(kSide * width);
    for (auto _ : state) {
        undo_float_predictor(coded, width, values);
        benchmark::DoNotOptimize(values.data());
        benchmark::ClobberMemory();
    }
    state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(values.size()));
}
BENCHMARK(predictor_undone)->ArgName("width")->Arg(128)->Arg(512)->Arg(10001);

// The same a byte at a time, as the library does it.
void predictor_undone_by_bytes(benchmark::State& state) {
    testing::RandomNumbers random(1);
    std::vector<std::uint8_t> coded(kSide * kSide * sizeof(float));
    for (std::uint8_t& byte : coded) {
        byte = static_cast<std::uint8_t>(random.whole(0, 255));
    }
    std::vector<std::uint8_t> values(coded.size());
    constexpr std::size_t kRowBytes = kSide * sizeof(float);
    for (auto _ : state) {
        for (std::size_t row = 0; row < coded.size(); row += kRowBytes) {
            for (std::size_t i = 1; i < kRowBytes; ++i) {
                coded[row + i] = static_cast<std::uint8_t>(coded[row + i] + coded[row + i - 1]);
            }
            for (std::size_t i = 0; i < kSide; ++i) {
                for (std::size_t byte = 0; byte < sizeof(float); ++byte) {
                    values[row + sizeof(float) * i + byte] = coded[row + (sizeof(float) - 1 - byte) * kSide + i];
                }
            }
        }
        benchmark::DoNotOptimize(values.data());
        benchmark::ClobberMemory();
    }
    state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(kSide * kSide));
}
BENCHMARK(predictor_undone_by_bytes);

}  // namespace
}  // namespace eaveshed
