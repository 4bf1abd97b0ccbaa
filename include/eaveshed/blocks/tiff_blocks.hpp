// Blocks of a GeoTIFF of Float32 read through libtiff itself, without GDAL between: what GDAL would give, bit for bit,
// in a third of the time. For files that GDAL has already opened as what `shape` says; whatever is not plain is
// refused, and the caller asks GDAL.
#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include "eaveshed/blocks/block_shape.hpp"
#include "eaveshed/core/finding.hpp"

namespace eaveshed {

// Not thread-safe: one per worker.
class TiffBlocks {
public:
    // Null unless the file's first image is exactly this: one Float32 band of that shape in tiles or strips, bytes in
    // the machine's order (little-endian), plain or LZW, DEFLATE or Zstandard, predictor none or floating-point.
    // `shape`: as GDAL gave it, of blocks small enough to hold. Nothing is printed.
    [[nodiscard]] static std::unique_ptr<TiffBlocks> open(const std::string& path, const BlockShape& shape);
    ~TiffBlocks();
    TiffBlocks(const TiffBlocks&) = delete;
    TiffBlocks& operator=(const TiffBlocks&) = delete;

    // The numbers of a block as stored, block_rows x block_cols of them; of a strip that ends early the rows beyond are
    // left as they are. False for a block that the file leaves out and for one that cannot be read; `values` is then
    // undefined.
    [[nodiscard]] bool read(std::uint64_t block, std::span<float> values);
    // Whether the block read last can tell right decoding from wrong: predicted bytes that are all 0 cannot.
    [[nodiscard]] bool telling() const { return m_telling; }

private:
    struct Closer {
        void operator()(void* file) const noexcept;
    };
    using File = std::unique_ptr<void, Closer>;
    TiffBlocks(File file, const BlockShape& shape, bool predicted);
    [[nodiscard]] bool read_strile(std::uint32_t number, void* bytes, std::size_t count) const;

    File m_file;
    BlockShape m_shape;
    bool m_predicted = false;
    bool m_tiled = false;
    bool m_telling = false;
    std::vector<std::uint8_t> m_coded;
};

// The blocks of a TIFF's first image, and how many of them its header places beyond the file's end. Blocks that the
// file leaves out on purpose count as there. All 0 for what is no TIFF. Reads the header alone.
struct CutBlocks {
    std::uint64_t cut = 0;
    std::uint64_t of = 0;
};
[[nodiscard]] CutBlocks cut_blocks(const std::string& path);

// Warns of a file that was cut short. `effect`: what becomes of what is beyond.
void report_cut_blocks(const std::string& where, const std::string& path, const std::string& effect,
                       Findings& findings);

}  // namespace eaveshed
