// The files of one raster, looked at once: which they are, that they fit, where each lies in the whole.
#pragma once

#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/io/raster_dataset.hpp"
#include "eaveshed/io/raster_source.hpp"

namespace eaveshed::io {

// The formats of elevation rasters.
[[nodiscard]] const std::vector<std::string>& elevation_drivers();

struct MosaicMember {
    std::string file;
    RasterLayout layout;
    Crs crs;
    BandRule rule;
    double metres_per_value = 1.0;
    double value_step = 0.0;
    // Of its north-western cell in the whole.
    std::int64_t row_begin = 0;
    std::int64_t col_begin = 0;

    [[nodiscard]] CellRange range() const {
        return {row_begin, row_begin + layout.grid.rows, col_begin, col_begin + layout.grid.cols};
    }
};

struct Mosaic {
    RasterInfo info;
    std::vector<MosaicMember> members;
};

// Throws input errors: see RasterSource::open.
[[nodiscard]] Mosaic look_at_mosaic(const std::string& setting, const std::vector<std::string>& paths,
                                    VerticalUnit unit, Findings& findings);

}  // namespace eaveshed::io
