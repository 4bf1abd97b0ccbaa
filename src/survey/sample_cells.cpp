#include "eaveshed/survey/sample_cells.hpp"

#include <algorithm>

namespace eaveshed {

namespace {

struct Piece {
    std::int64_t begin = 0;
    std::int64_t end = 0;
};

std::vector<Piece> pieces_of(std::int64_t cells, std::int64_t block) {
    if (cells <= kSampleSide) {
        return {{0, cells}};
    }
    constexpr std::int64_t kLength = kSampleSide / kSampleWindows;
    std::vector<Piece> pieces;
    for (std::int64_t i = 0; i < kSampleWindows; ++i) {
        const std::int64_t at = i * (cells - kLength) / (kSampleWindows - 1);
        const std::int64_t block_begin = at / block * block;
        const std::int64_t inside = std::max(block_begin, std::min(at, block_begin + block - kLength));
        const std::int64_t begin = block < kLength ? at : inside;
        pieces.push_back({begin, begin + kLength});
    }
    return pieces;
}

}  // namespace

std::vector<CellRange> sample_cells(std::int64_t rows, std::int64_t cols, std::int64_t block_rows,
                                    std::int64_t block_cols) {
    std::vector<CellRange> cells;
    for (const Piece& down : pieces_of(rows, block_rows)) {
        for (const Piece& across : pieces_of(cols, block_cols)) {
            cells.push_back({down.begin, down.end, across.begin, across.end});
        }
    }
    return cells;
}

}  // namespace eaveshed
