// One raster file as GDAL shows it: opened by the allow-list, its grid turned north-up, its numbers made values.
// What the readers of rasters, arrays and climate share.
#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/core/raster.hpp"
#include "eaveshed/crs/crs.hpp"
#include "eaveshed/outside/gdal_setup.hpp"
#include "eaveshed/raster/raster_neighbour.hpp"

class GDALRasterBand;

namespace eaveshed {

// The files that the paths stand for, in their order; a glob (* ? [) stands for its matches in byte order and must have
// some. A path that exists is never taken for a glob. Throws input errors (paths.hpp) for what is no readable file.
[[nodiscard]] std::vector<std::string> expand_paths(const std::string& setting, const std::vector<std::string>& paths);

// Opens read-only with one of the drivers, whatever the file's name says; another format is an input error that names
// it. A VRT is opened only where "VRT" is listed, the name ends in .vrt and its content passes (vrt_check.hpp).
[[nodiscard]] DatasetHandle open_raster(const std::string& setting, const std::string& path,
                                        const std::vector<std::string>& drivers);

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

// How the numbers stored in one band become values. Scale and offset are applied here and nowhere else.
struct BandRule {
    enum class Storage : std::uint8_t { integer, float32, float64 };
    Storage storage = Storage::float64;
    std::optional<double> nodata;      // in stored numbers
    std::optional<double> nodata_too;  // a second one: netCDF's missing_value beside _FillValue
    double scale = 1.0;
    double offset = 0.0;
    bool masked = false;  // by a mask band or alpha, which has to be read too
    int alpha_band = 0;   // which hides where it is 0; 0: the band's own mask

    // Throws an input error for complex or paletted bands and for a scale of 0 or one that is not finite.
    [[nodiscard]] static BandRule of(GDALRasterBand& band, const std::string& where);

    // NaN for missing and for what is not finite. A nodata value of a floating-point band is met by numbers that differ
    // from it only by the rounding of a text or of single precision; from 1e30 on by every number of its sign that
    // large.
    [[nodiscard]] double value(double stored) const { return is_missing(stored) ? kMissing : stored * scale + offset; }
    [[nodiscard]] bool is_missing(double stored) const;
    // The stored numbers that are missing become NaN, many at a time.
    void mark_missing(std::span<float> stored) const;
    void mark_missing(std::span<double> stored) const;
    [[nodiscard]] bool holds_missing() const { return nodata || nodata_too || masked; }
};

// Values of a range of the file's rows and columns in row-major order, NaN where missing. False when something could
// not be read; `out` is then undefined. `out` holds range.rows() x range.cols() values.
[[nodiscard]] bool read_values(GDALRasterBand& band, const BandRule& rule, const CellRange& range, double* out);

// The rows of a north-up range as the file counts them: first file row.
[[nodiscard]] std::int64_t file_row_begin(const RasterLayout& layout, const CellRange& range);
// Turns rows upside down, in place: `count` rows of `width` values.
void turn_rows(double* values, std::int64_t count, std::int64_t width);

}  // namespace eaveshed
