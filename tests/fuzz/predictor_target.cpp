// The floating-point predictor, undone for any bytes as the plain loop of the specification undoes it.
#include <cstdint>
#include <cstring>
#include <vector>

#include "eaveshed/blocks/float_predictor.hpp"
#include "fuzz/target.hpp"

namespace eaveshed::fuzz {

namespace {

// Adobe Photoshop TIFF Technical Note 3 (2005): differences summed up, then four planes, the most significant first.
std::vector<float> plainly_undone(std::vector<std::uint8_t> row, std::size_t width) {
    for (std::size_t i = 1; i < row.size(); ++i) {
        row[i] = static_cast<std::uint8_t>(row[i] + row[i - 1]);
    }
    std::vector<float> values(width);
    for (std::size_t i = 0; i < width; ++i) {
        const std::uint8_t little_endian[] = {row[3 * width + i], row[2 * width + i], row[width + i], row[i]};
        std::memcpy(&values[i], little_endian, sizeof little_endian);
    }
    return values;
}

}  // namespace

void fuzz_predictor(Bytes bytes) {
    const std::size_t width = std::size_t{take_byte(bytes)} + 1;
    const std::size_t row_bytes = width * sizeof(float);
    const std::size_t rows = bytes.size() / row_bytes;
    if (rows == 0) {
        return;
    }
    std::vector<std::uint8_t> coded(bytes.begin(), bytes.begin() + static_cast<std::ptrdiff_t>(rows * row_bytes));
    const std::vector<std::uint8_t> given = coded;
    std::vector<float> values(rows * width);
    undo_float_predictor(coded, width, values);
    for (std::size_t row = 0; row < rows; ++row) {
        const auto begin = given.begin() + static_cast<std::ptrdiff_t>(row * row_bytes);
        const std::vector<float> plain = plainly_undone({begin, begin + static_cast<std::ptrdiff_t>(row_bytes)}, width);
        require(std::memcmp(plain.data(), values.data() + row * width, row_bytes) == 0,
                "other numbers than the plain loop's");
    }
}

}  // namespace eaveshed::fuzz
