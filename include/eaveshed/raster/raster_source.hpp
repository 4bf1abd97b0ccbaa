// Rasters of one quantity as cells in SI: files, globs, lists and mosaics, turned north-up, nodata and mask as NaN,
// band scale and offset honoured once, feet as metres. The only door for rasters.
//
// Several files are one raster: row 0 and column 0 are those of the whole. Where they overlap, the last file in order
// that has a value there counts. Longitudes wholly beyond 180 are counted from the west. Formats: GeoTIFF (COG), ASCII
// grid, HFA, and VRT that only places such files.
#pragma once

#include <cstddef>
#include <memory>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/raster.hpp"
#include "eaveshed/raster/block_cache.hpp"
#include "eaveshed/settings/settings.hpp"
#include "eaveshed/source/raster_info.hpp"

namespace eaveshed {

// Not thread-safe: one per worker (`another`), all of them with one cache of decoded blocks.
class RasterSource {
public:
    // Opens and checks: drivers from the allow-list, one CRS, a north-up or south-up geotransform (a turned one is an
    // error with a remedy), one resolution and alignment across a mosaic. `setting` is the key, e.g.
    // "terrain.elevation". Paths are already resolved; a path may be a glob. Throws input errors; appends warnings and
    // notes to `findings`. Vertical unit: the band's, or the vertical part of its CRS, or `unit`; two that differ are
    // an error; none: metres, with a note, or a warning where the CRS counts in feet.
    // Blocks are kept in `cache`, which other sources may share; null: in one of its own, of kOwnCacheBytes.
    static RasterSource open(const std::string& setting, const std::vector<std::string>& paths, VerticalUnit unit,
                             Findings& findings, std::shared_ptr<BlockCache> cache = nullptr);
    static constexpr std::size_t kOwnCacheBytes = std::size_t{64} * 1024 * 1024;
    // The same source for another worker: nothing is checked or reported a second time. Safe to call from any thread.
    [[nodiscard]] RasterSource another() const;
    // The same with its blocks in another cache, for what then takes handles from it.
    [[nodiscard]] RasterSource another(std::shared_ptr<BlockCache> cache) const;
    ~RasterSource();
    RasterSource(RasterSource&& other) noexcept;
    RasterSource& operator=(RasterSource&& other) noexcept;

    [[nodiscard]] const RasterInfo& info() const;

    // Values of band 1 over a range inside the grid, row-major. A block of the file that cannot be read is NaN and sets
    // `damaged` (never cleared here); the blocks around it keep their values.
    [[nodiscard]] std::vector<double> read(const CellRange& range, bool& damaged);
    // Loads the blocks of `raster` that the range (cut to the grid) touches and that are missing.
    void load(SparseRaster& raster, const CellRange& range);
    // The blocks of the files that load() of the range may ask the cache for.
    [[nodiscard]] std::vector<BlockKey> blocks_of(const CellRange& range) const;

private:
    struct Impl;
    explicit RasterSource(std::unique_ptr<Impl> impl);
    std::unique_ptr<Impl> m_impl;
};

}  // namespace eaveshed
