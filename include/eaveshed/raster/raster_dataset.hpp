// One raster file as GDAL shows it: opened by the allow-list, its grid turned north-up.
// What the readers of rasters, arrays and climate share.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/crs/crs.hpp"
#include "eaveshed/outside/gdal_setup.hpp"
#include "eaveshed/raster/raster_neighbour.hpp"

namespace eaveshed {

// The files that the paths stand for, in their order; a glob (* ? [) stands for its matches in byte order and must have
// some. A path that exists is never taken for a glob. Throws input errors (paths.hpp) for what is no readable file.
[[nodiscard]] std::vector<std::string> expand_paths(const std::string& setting, const std::vector<std::string>& paths);

// Opens read-only with one of the drivers, whatever the file's name says; another format is an input error that names
// it. A VRT is opened only where "VRT" is listed, the name ends in .vrt and its content passes (vrt_check.hpp).
[[nodiscard]] DatasetHandle open_raster(const std::string& setting, const std::string& path,
                                        const std::vector<std::string>& drivers);

// An input error where a block of the file takes more than 1 GiB (choice of this program): it is unpacked as a whole,
// whatever is asked of it, and the few bytes of a header can make it as large as they like. For files behind a VRT,
// which hides their blocks; open_raster asks it of what it opens.
void require_blocks_that_fit(const std::string& where, GDALDataset& dataset);

// Where the cells lie. The grid is north-up, whichever way the file's rows and columns run.
struct RasterLayout {
    Grid grid;
    bool south_up = false;    // from south to north
    bool mirrored = false;    // from east to west
    bool transposed = false;  // a row of the file is a column of the grid
    double turn_deg = 0.0;    // of the columns' direction from east to north; then the grid is in a turned plane
    Point turn_origin;        // where that plane has its 0, in the file's CRS

    [[nodiscard]] std::int64_t file_rows() const { return transposed ? grid.cols : grid.rows; }
    [[nodiscard]] std::int64_t file_cols() const { return transposed ? grid.rows : grid.cols; }
    // A range of the grid as the file counts, and a cell of the file as the grid counts.
    [[nodiscard]] CellRange in_file(const CellRange& range) const;
    [[nodiscard]] Cell in_grid(Cell file) const;
};

// What the caller can undo. `any`: also the turned plane of turned_crs().
enum class GridTurns : std::uint8_t { upside_down, any };

// Throws input errors: no geotransform, a sheared one, cells of no size; with GridTurns::upside_down also a turned one,
// columns from east to west and rows that run along columns.
[[nodiscard]] RasterLayout layout_of(GDALDataset& dataset, const std::string& where,
                                     GridTurns turns = GridTurns::upside_down);

// The file's CRS, its vertical part dropped. Throws an input error when there is none, which says what its coordinates
// look like, and when they cannot be of that CRS: degrees in a projected one, or more than a turn in a geographic one.
[[nodiscard]] Crs crs_of(GDALDataset& dataset, const std::string& where,
                         const std::optional<Neighbour>& neighbour = std::nullopt);

// The rows of a north-up range as the file counts them: first file row.
[[nodiscard]] std::int64_t file_row_begin(const RasterLayout& layout, const CellRange& range);
// Turns rows upside down, in place: `count` rows of `width` values.
void turn_rows(double* values, std::int64_t count, std::int64_t width);

}  // namespace eaveshed
