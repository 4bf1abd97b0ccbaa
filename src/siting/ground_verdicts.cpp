#include "eaveshed/siting/ground_verdicts.hpp"

#include <algorithm>
#include <array>
#include <bit>

#include "eaveshed/core/lanes.hpp"
#include "eaveshed/terrain/slope.hpp"
#include "rule_walk.hpp"

namespace eaveshed {

namespace {

constexpr std::int64_t kSide = SparseRaster::kBlockSide;
constexpr std::int64_t kBits = 64;
constexpr std::int64_t kWords = kSide / kBits;  // of a row of a block
static_assert(kSide % kBits == 0);

// A word a rule of the ground, with the bits of up to 64 cells.
using GroundWords = std::array<std::uint64_t, kGroundRules>;

EAVESHED_WIDEN GroundWords removed_bits(const double* slopes, std::size_t count, const PadLimits& limits) {
    GroundWords words{};
    for (std::size_t i = 0; i < count; ++i) {
        const GroundAsked ground{slopes[i]};
        each_rule([&](auto rule) {
            if constexpr (RuleOf<decltype(rule), GroundAsked>) {
                const std::uint64_t failed = fails(rule, ground, limits) ? 1U : 0U;
                words[static_cast<std::size_t>(decltype(rule)::kEntry.reason)] |= failed << i;
            }
        });
    }
    std::uint64_t left = ~std::uint64_t{0};
    for (std::uint64_t& word : words) {
        word &= left;
        left &= ~word;
    }
    return words;
}

// The bits [begin, end) of a word.
std::uint64_t bits_between(std::int64_t begin, std::int64_t end) {
    const std::uint64_t all = ~std::uint64_t{0};
    return (all << static_cast<unsigned>(begin)) & (all >> static_cast<unsigned>(kBits - end));
}

}  // namespace

// What is not loaded is as if it were missing: nobody asks for a cell whose slope needs it.
RasterPatch GroundVerdicts::ground_around(const CellRange& range) const {
    const CellRange cells = range.common_with(m_terrain->grid().cells());
    const std::vector<Cell> missing = m_terrain->missing_blocks(cells);
    if (missing.empty()) {
        return m_terrain->patch(cells);
    }
    RasterPatch ground{cells, std::vector<double>(static_cast<std::size_t>(cells.rows() * cells.cols()), kMissing)};
    for (std::int64_t row = cells.row_begin / kSide; row <= (cells.row_end - 1) / kSide; ++row) {
        for (std::int64_t col = cells.col_begin / kSide; col <= (cells.col_end - 1) / kSide; ++col) {
            if (std::ranges::find(missing, Cell{row, col}) != missing.end()) {
                continue;
            }
            const RasterPatch part = m_terrain->patch(m_terrain->block_range({row, col}).common_with(cells));
            for (std::int64_t line = 0; line < part.range.rows(); ++line) {
                std::copy_n(part.values.begin() + line * part.range.cols(), part.range.cols(),
                            ground.values.begin() + (part.range.row_begin + line - cells.row_begin) * cells.cols() +
                                (part.range.col_begin - cells.col_begin));
            }
        }
    }
    return ground;
}

const GroundVerdicts::Bits& GroundVerdicts::bits_of(Cell block, std::int64_t slope_reach) {
    const auto [found, added] = m_blocks.try_emplace({slope_reach, block});
    Bits& bits = found->second;
    if (!added) {
        return bits;
    }
    const CellRange range = m_terrain->block_range(block);
    const RasterPatch ground = ground_around(range.grown(slope_reach));
    const Grid& grid = m_terrain->grid();
    bits.resize(static_cast<std::size_t>(range.rows()) * kGroundRules * kWords);
    std::vector<double> slopes(static_cast<std::size_t>(range.cols()));
    auto row_bits = bits.begin();
    for (std::int64_t row = range.row_begin; row < range.row_end; ++row) {
        const CellSides sides = cell_sides(grid, m_metric, grid.centre({row, 0}));
        horn_slopes(ground, row, range.col_begin, slope_reach, sides.width_m, sides.height_m, slopes);
        for (std::size_t first = 0; first < slopes.size(); first += kBits) {
            const std::size_t cells = std::min<std::size_t>(kBits, slopes.size() - first);
            const GroundWords words = removed_bits(slopes.data() + first, cells, m_limits);
            for (std::size_t rule = 0; rule < kGroundRules; ++rule) {
                *(row_bits + static_cast<std::ptrdiff_t>(rule * kWords + first / kBits)) = words[rule];
            }
        }
        row_bits += static_cast<std::ptrdiff_t>(kGroundRules * kWords);
    }
    return bits;
}

void GroundVerdicts::count(std::int64_t row, const Span& run, std::int64_t slope_reach, RemovedCells& removed) {
    for (std::int64_t col = run.begin; col < run.end;) {
        const Cell block{row / kSide, col / kSide};
        const std::uint64_t* const row_bits =
            bits_of(block, slope_reach).data() + static_cast<std::size_t>(row % kSide) * kGroundRules * kWords;
        const std::int64_t block_end = std::min(run.end, (block.col + 1) * kSide);
        while (col < block_end) {
            const auto word = static_cast<std::size_t>(col % kSide / kBits);
            const std::int64_t begin = col % kBits;
            const std::int64_t end = std::min(kBits, begin + block_end - col);
            for (std::size_t rule = 0; rule < kGroundRules; ++rule) {
                removed[rule] += static_cast<std::uint64_t>(
                    std::popcount(row_bits[rule * kWords + word] & bits_between(begin, end)));
            }
            col += end - begin;
        }
    }
}

}  // namespace eaveshed
