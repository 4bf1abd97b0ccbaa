// The numbers that one band stores, made values.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/core/raster.hpp"

class GDALRasterBand;

namespace eaveshed {

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

}  // namespace eaveshed
