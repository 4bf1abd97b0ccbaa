// Rasters of one quantity as cells in SI: files, globs, lists and mosaics, turned north-up, nodata and mask as NaN,
// band scale and offset honoured once, feet as metres. The only door for rasters.
//
// Several files are one raster: row 0 and column 0 are those of the whole. Where they overlap, the last file in order
// that has a value there counts. Longitudes wholly beyond 180 are counted from the west. Formats: GeoTIFF (COG), ASCII
// grid, HFA, and VRT that only places such files.
#pragma once

#include <cstddef>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "eaveshed/blocks/block_cache.hpp"
#include "eaveshed/blocks/block_shape.hpp"
#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/raster.hpp"
#include "eaveshed/raster/raster_neighbour.hpp"
#include "eaveshed/settings/settings.hpp"
#include "eaveshed/source/raster_info.hpp"

namespace eaveshed {

// What is known of a raster beside its files.
struct RasterRequest {
    VerticalUnit unit = VerticalUnit::from_file;
    // The file's own word counts where `unit` says otherwise; else that is an error.
    bool file_wins = false;
    std::optional<double> nodata{};  // in stored numbers, beside what the file declares
    int band = 0;                    // from 1; 0: the only one beside an alpha band
    // The settings' names, for messages; empty: there are none, and only the file can be corrected.
    std::string unit_setting{};
    std::string nodata_setting{};
    std::string band_setting{};
    std::optional<Neighbour> neighbour{};
};

[[nodiscard]] RasterRequest elevation_request(const TerrainSettings& terrain);
[[nodiscard]] RasterRequest surface_request(const TerrainSettings& terrain);

// A decoded block as another may want it too: its cells in the whole raster, and their values, row-major; empty for one
// that cannot be read.
struct DecodedBlock {
    CellRange range;
    std::span<const float> values;
};
using BlockListener = std::function<void(const DecodedBlock&)>;

// Not thread-safe: one per worker (`another`), all of them with one cache of decoded blocks.
class RasterSource {
public:
    // Opens and checks: drivers from the allow-list, one CRS, rows and columns along the CRS's axes in either direction
    // (other turns are an error with a remedy), one resolution and alignment across a mosaic, files of a VRT that are
    // of one kind. `setting` is the key, e.g. "terrain.elevation". Paths are already resolved; a path may be a glob.
    // Throws input errors; appends warnings and notes to `findings`. Vertical unit: the band's, or the vertical part of
    // its CRS, or the request's; two that differ are an error; none: metres, with a note, or a warning where the CRS
    // counts in feet.
    // Blocks are kept in `cache`, which other sources may share; null: in one of its own, of kOwnCacheBytes.
    static RasterSource open(const std::string& setting, const std::vector<std::string>& paths,
                             const RasterRequest& request, Findings& findings,
                             std::shared_ptr<BlockCache> cache = nullptr);
    static constexpr std::size_t kOwnCacheBytes = std::size_t{32} * 1024 * 1024;
    // The same source for another worker: nothing is checked or reported a second time. Safe to call from any thread.
    [[nodiscard]] RasterSource another() const;
    ~RasterSource();
    RasterSource(RasterSource&& other) noexcept;
    RasterSource& operator=(RasterSource&& other) noexcept;

    [[nodiscard]] const RasterInfo& info() const;

    // Values over a range inside the grid, row-major; those beyond kLowestHeightM and kHighestHeightM are missing. A
    // block of the file that cannot be read is NaN and sets `damaged` (never cleared here); the blocks around it keep
    // their values.
    [[nodiscard]] std::vector<double> read(const CellRange& range, bool& damaged);
    // The same with the values beyond: for who looks for them.
    [[nodiscard]] std::vector<double> read_with_odd(const CellRange& range, bool& damaged);
    // Loads the blocks of `raster` that the range (cut to the grid) touches and that are missing.
    void load(SparseRaster& raster, const CellRange& range);
    // The blocks of the files that load() of the range may ask the cache for.
    [[nodiscard]] std::vector<BlockKey> blocks_of(const CellRange& range) const;

    // How the raster is cut into blocks that are decoded one by one; none where files are laid over or beside each
    // other, or rows and columns are turned.
    [[nodiscard]] std::optional<BlockShape> block_shape() const;
    // Has each block that any handle decodes from now on told, by the worker that decodes it; values as read() gives
    // them, in single precision. Of a raster with a block shape. Null: nobody listens any more. Call it while no worker
    // reads.
    void tell(BlockListener listener);

private:
    struct Shared;
    struct Impl;
    explicit RasterSource(std::unique_ptr<Impl> impl);
    std::unique_ptr<Impl> m_impl;
};

}  // namespace eaveshed
