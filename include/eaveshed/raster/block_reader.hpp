// One worker's way to the blocks of a raster's files: by libtiff alone where that gives what GDAL gives, else by GDAL.
#pragma once

#include <atomic>
#include <cstdint>
#include <list>
#include <memory>
#include <vector>

#include "eaveshed/blocks/block_cache.hpp"
#include "eaveshed/blocks/tiff_blocks.hpp"
#include "eaveshed/outside/gdal_setup.hpp"
#include "eaveshed/raster/raster_mosaic.hpp"

namespace eaveshed {

// What is known of the direct path for each member, shared by the workers: a file's first telling block is read both
// ways, and one that differs anywhere is from then on read by GDAL.
class DirectTrust {
public:
    explicit DirectTrust(std::size_t members) : m_levels(members) {}

    [[nodiscard]] bool refused(std::size_t member) const { return m_levels[member] == kRefused; }
    [[nodiscard]] bool proved(std::size_t member) const { return m_levels[member] == kProved; }
    void refuse(std::size_t member) { m_levels[member] = kRefused; }
    void prove(std::size_t member);

private:
    static constexpr std::uint8_t kOpen = 0;
    static constexpr std::uint8_t kProved = 1;
    static constexpr std::uint8_t kRefused = 2;
    std::vector<std::atomic<std::uint8_t>> m_levels;
};

// Not thread-safe: one per worker.
class BlockReader {
public:
    BlockReader(std::shared_ptr<const Mosaic> mosaic, std::shared_ptr<DirectTrust> trust)
        : m_mosaic(std::move(mosaic)), m_trust(std::move(trust)) {}

    // A block of a member, its missing numbers NaN, in place of what `out` was. One that cannot be read, or whose file
    // cannot be opened any more, is damaged; one that the system refuses to read throws (files/refusal.hpp).
    void read(std::size_t member, std::uint64_t block, RasterBlock& out);

private:
    // Of one member; each way is opened when it is first asked for.
    struct OpenFile {
        std::size_t member = 0;
        bool tried_gdal = false;
        bool tried_direct = false;
        DatasetHandle dataset;
        std::unique_ptr<TiffBlocks> tiff;
    };

    OpenFile& file_of(std::size_t member);
    GDALRasterBand* band_of(OpenFile& file) const;
    TiffBlocks* tiff_of(OpenFile& file) const;
    bool read_direct(OpenFile& file, std::uint64_t block, RasterBlock& out) const;
    bool read_by_gdal(OpenFile& file, std::uint64_t block, RasterBlock& out) const;
    bool read_either_way(std::size_t member, std::uint64_t block, RasterBlock& out);
    bool read_again(std::size_t member, std::uint64_t block, RasterBlock& out);
    bool prove(OpenFile& file, std::uint64_t block, RasterBlock& out) const;

    std::shared_ptr<const Mosaic> m_mosaic;
    std::shared_ptr<DirectTrust> m_trust;
    std::list<OpenFile> m_files;       // the last used first
    std::vector<std::size_t> m_whole;  // members with damaged blocks whose files can be read to their end
};

}  // namespace eaveshed
