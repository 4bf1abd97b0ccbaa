#include "eaveshed/blocks/float_predictor.hpp"

#include <bit>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "eaveshed/core/error.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

using ::testing::ElementsAre;

// The note's own procedure, byte by byte: planes from the most significant byte on, then differences from the end.
std::vector<std::uint8_t> predicted(const std::vector<std::uint32_t>& numbers, std::size_t width) {
    std::vector<std::uint8_t> coded;
    for (std::size_t row = 0; row < numbers.size() / width; ++row) {
        std::vector<std::uint8_t> bytes;
        for (const unsigned shift : {24U, 16U, 8U, 0U}) {
            for (std::size_t i = 0; i < width; ++i) {
                bytes.push_back(static_cast<std::uint8_t>(numbers[row * width + i] >> shift));
            }
        }
        for (std::size_t i = bytes.size() - 1; i > 0; --i) {
            bytes[i] = static_cast<std::uint8_t>(bytes[i] - bytes[i - 1]);
        }
        coded.insert(coded.end(), bytes.begin(), bytes.end());
    }
    return coded;
}

std::vector<std::uint32_t> bits_of(const std::vector<float>& values) {
    std::vector<std::uint32_t> bits;
    for (const float value : values) {
        bits.push_back(std::bit_cast<std::uint32_t>(value));
    }
    return bits;
}

// 1.0 is 3F 80 00 00 and 2.0 is 40 00 00 00 (IEEE 754): planes 3F 40, 80 00, 00 00, 00 00, each less the byte before.
TEST(FloatPredictor, UndoesARowWorkedOutByHand) {
    std::vector<std::uint8_t> coded{0x3F, 0x01, 0x40, 0x80, 0x00, 0x00, 0x00, 0x00};
    std::vector<float> values(2);
    undo_float_predictor(coded, 2, values);
    EXPECT_THAT(values, ElementsAre(1.0F, 2.0F));
}

// Every remainder of a row's length by the chunks that the loops take, and every bit pattern: NaNs keep their payload.
TEST(FloatPredictor, IsTheInverseOfThePredictorForAnyBitsAndWidth) {
    testing::RandomNumbers random(11);
    for (std::size_t width = 1; width <= 150; ++width) {
        std::vector<std::uint32_t> numbers(3 * width);
        for (std::uint32_t& number : numbers) {
            number = static_cast<std::uint32_t>(random.between(0.0, 4294967296.0));
        }
        numbers.front() = 0x7FA00001U;  // a signalling NaN with a payload
        numbers.back() = 0x80000000U;   // -0
        std::vector<std::uint8_t> coded = predicted(numbers, width);
        std::vector<float> values(numbers.size());
        undo_float_predictor(coded, width, values);
        EXPECT_EQ(bits_of(values), numbers) << width;
    }
}

TEST(FloatPredictor, WidestSumsOfBytesDoNotSpill) {
    constexpr std::size_t kWidth = 4096;
    std::vector<std::uint8_t> coded(kWidth * 4, 0xFF);
    std::vector<float> values(kWidth);
    undo_float_predictor(coded, kWidth, values);
    // The k-th sum of 255s is -k modulo 256; plane p begins at sum p x 4096, a multiple of 256.
    for (std::size_t i = 0; i < kWidth; ++i) {
        const std::uint32_t byte = (0U - static_cast<std::uint32_t>(i + 1)) & 0xFFU;
        ASSERT_EQ(std::bit_cast<std::uint32_t>(values[i]), byte * 0x01010101U) << i;
    }
}

TEST(FloatPredictor, SizesThatDisagreeAreAnInternalError) {
    std::vector<std::uint8_t> coded(12);
    std::vector<float> values(3);
    EXPECT_THROW(undo_float_predictor(coded, 2, values), Error);
    EXPECT_THROW(undo_float_predictor(coded, 0, values), Error);
    coded.resize(8);
    EXPECT_THROW(undo_float_predictor(coded, 3, values), Error);
}

}  // namespace
}  // namespace eaveshed
