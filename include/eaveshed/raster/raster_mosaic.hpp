// The files of one raster, looked at once: which they are, that they fit, where each lies in the whole.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "eaveshed/blocks/block_shape.hpp"
#include "eaveshed/core/finding.hpp"
#include "eaveshed/raster/band_rule.hpp"
#include "eaveshed/raster/raster_dataset.hpp"
#include "eaveshed/raster/raster_source.hpp"
#include "eaveshed/raster/vrt_parts.hpp"
#include "eaveshed/shape/box_index.hpp"

namespace eaveshed {

// The formats of elevation rasters.
[[nodiscard]] const std::vector<std::string>& elevation_drivers();

// How a member is read. A block of more numbers than `kMostBlockCells` is none to hold as a whole: such a file, and one
// with a mask beside it, is read through GDAL in windows (BlockShape then says which).
struct MemberBlocks {
    static constexpr std::int64_t kMostBlockCells = 16LL * 1024 * 1024;
    BlockShape shape;
    bool windows = false;
    bool single = false;        // every stored number is exact in single precision
    bool maybe_direct = false;  // a GeoTIFF of one Float32 band: TiffBlocks may read it
    friend bool operator==(const MemberBlocks&, const MemberBlocks&) = default;
};
struct MosaicMember {
    std::string file;
    int band = 1;
    RasterLayout layout;
    Crs crs;
    BandRule rule;
    MemberBlocks blocks;
    double metres_per_value = 1.0;
    double value_step = 0.0;
    std::string unit_said;  // as RasterInfo
    bool unit_in_file = false;
    VerticalReference vertical;
    std::shared_ptr<const VrtCover> cover;  // of a VRT that leaves cells out without saying so; else null
    // Of its north-western cell in the whole.
    std::int64_t row_begin = 0;
    std::int64_t col_begin = 0;

    [[nodiscard]] CellRange range() const {
        return {row_begin, row_begin + layout.grid.rows, col_begin, col_begin + layout.grid.cols};
    }
};

// Of a member whose layout, rule and cover are known.
[[nodiscard]] MemberBlocks blocks_of(GDALDataset& dataset, const MosaicMember& member);

struct Mosaic {
    RasterInfo info;
    std::vector<MosaicMember> members;
    BoxIndex index;  // over the members' cells: x columns, y rows of the whole

    // Positions of the members that a range of the whole touches, in their order.
    [[nodiscard]] std::vector<std::uint32_t> members_in(const CellRange& range) const;
};

// Throws input errors: see RasterSource::open.
[[nodiscard]] Mosaic look_at_mosaic(const std::string& setting, const std::vector<std::string>& paths,
                                    const RasterRequest& request, Findings& findings);

}  // namespace eaveshed
