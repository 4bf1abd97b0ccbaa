// TIFF files of any sort. Where a block is read directly, GDAL gives the same numbers, bit for bit.
#include <algorithm>
#include <cstring>
#include <memory>

#include "eaveshed/blocks/tiff_blocks.hpp"
#include "eaveshed/raster/block_reader.hpp"
#include "eaveshed/raster/raster_mosaic.hpp"
#include "fuzz/target.hpp"

namespace eaveshed::fuzz {

namespace {

constexpr std::int64_t kMostBlocks = 8;
constexpr std::int64_t kMostCells = 1 << 20;  // of a block that the memory of a fuzzer should hold

RasterBlock block_by(BlockReader& reader, std::uint64_t number) {
    RasterBlock block;
    reader.read(0, number, block);
    return block;
}

// Over the cells that lie in the raster.
template <typename Number>
bool same_bits(const std::vector<Number>& a, const std::vector<Number>& b, const CellRange& range, std::int64_t width) {
    if (a.size() != b.size() || a.empty()) {
        return a.size() == b.size();
    }
    for (std::int64_t row = 0; row < range.rows(); ++row) {
        if (std::memcmp(a.data() + row * width, b.data() + row * width,
                        static_cast<std::size_t>(range.cols()) * sizeof(Number)) != 0) {
            return false;
        }
    }
    return true;
}

}  // namespace

void fuzz_tiff(Bytes bytes) {
    const std::string path = scratch_file("cells.tif", bytes);
    const CutBlocks cut = cut_blocks(path);
    require(cut.cut <= cut.of, "more blocks cut than there are");
    Findings findings;
    accepts([&] {
        const auto mosaic = std::make_shared<const Mosaic>(look_at_mosaic("terrain.elevation", {path}, {}, findings));
        const BlockShape& shape = mosaic->members.front().blocks.shape;
        if (shape.cells() > kMostCells) {
            return;
        }
        BlockReader ours(mosaic, std::make_shared<DirectTrust>(1));
        const auto gdal_only = std::make_shared<DirectTrust>(1);
        gdal_only->refuse(0);
        BlockReader gdals(mosaic, gdal_only);
        const std::int64_t down = (shape.rows + shape.block_rows - 1) / shape.block_rows;
        const std::int64_t blocks = std::min(kMostBlocks, shape.blocks_across() * down);
        for (std::int64_t number = 0; number < blocks; ++number) {
            const RasterBlock our = block_by(ours, static_cast<std::uint64_t>(number));
            const RasterBlock theirs = block_by(gdals, static_cast<std::uint64_t>(number));
            require(our.damaged == theirs.damaged, "a block that one way can read alone");
            const CellRange range = shape.range_of(static_cast<std::uint64_t>(number));
            require(same_bits(our.singles, theirs.singles, range, our.cols) &&
                        same_bits(our.doubles, theirs.doubles, range, our.cols),
                    "a block of other numbers than GDAL's");
        }
    });
}

}  // namespace eaveshed::fuzz
