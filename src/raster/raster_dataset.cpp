#include "eaveshed/raster/raster_dataset.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <utility>

#include <fmt/format.h>
#include <gdal_priv.h>
#include <glob.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/files/paths.hpp"
#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/raster/vrt_check.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

std::vector<std::string> expand_paths(const std::string& setting, const std::vector<std::string>& paths) {
    std::vector<std::string> files;
    for (const std::string& path : paths) {
        std::error_code fault;
        if (path.find_first_of("*?[") == std::string::npos || std::filesystem::exists(path, fault)) {
            require_readable(setting, path, FileKind::raster);
            files.push_back(path);
            continue;
        }
        glob_t found{};
        const int outcome = glob(path.c_str(), GLOB_NOSORT, nullptr, &found);
        std::vector<std::string> matches(found.gl_pathv, found.gl_pathv + (outcome == 0 ? found.gl_pathc : 0));
        globfree(&found);
        if (matches.empty()) {
            throw input_error(setting_and_path(setting, path), "no file that matches", "at least one file",
                              "check the pattern; a relative one counts from the project file's folder");
        }
        std::sort(matches.begin(), matches.end());
        for (std::string& match : matches) {
            require_readable(setting, match, FileKind::raster);
            files.push_back(std::move(match));
        }
    }
    return files;
}

namespace {

[[noreturn]] void refuse_format(const std::string& where, const std::string& driver, const std::string& said,
                                const std::vector<std::string>& drivers) {
    const bool known = std::find(drivers.begin(), drivers.end(), driver) != drivers.end();
    std::string found = "a file of a format that nothing recognises";
    if (known) {
        found = fmt::format("a damaged or incomplete {} file", driver);
    } else if (!driver.empty()) {
        found = fmt::format("a file of the format {}", driver);
    }
    throw input_error(where, said.empty() ? found : fmt::format("{}: {}", found, printable(said, 500)),
                      fmt::format("one of the formats {}", listed(drivers)),
                      known ? "restore it from a backup or make it again" : "convert it to GeoTIFF: gdal_translate");
}

}  // namespace

DatasetHandle open_raster(const std::string& setting, const std::string& path,
                          const std::vector<std::string>& drivers) {
    const GdalSession& session = GdalSession::start();
    require_readable(setting, path, FileKind::raster);
    const std::string where = setting_and_path(setting, path);
    const bool named_vrt = lower_case(std::filesystem::path(path).extension().string()) == ".vrt";
    const std::string driver = session.driver_that_matches(path);
    if (driver == "VRT" && !named_vrt) {
        throw input_error(where, "a VRT under another name", fmt::format("one of the formats {}", listed(drivers)),
                          "name it .vrt if that is what it is meant to be");
    }
    std::vector<const char*> allowed;
    for (const std::string& name : drivers) {
        if (name == "VRT" && named_vrt) {
            check_vrt(where, path, drivers);
        }
        if (name != "VRT" || named_vrt) {
            allowed.push_back(name.c_str());
        }
    }
    allowed.push_back(nullptr);
    const GdalErrors errors;
    DatasetHandle dataset(GDALDataset::Open(path.c_str(), GDAL_OF_RASTER | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR,
                                            allowed.data(), nullptr, nullptr));
    if (dataset == nullptr || errors.failures() > 0) {
        refuse_format(where, driver, errors.text(), drivers);
    }
    return dataset;
}

RasterLayout layout_of(GDALDataset& dataset, const std::string& where) {
    std::array<double, 6> t{};
    if (dataset.GetGeoTransform(t.data()) != CE_None) {
        const bool warpable = dataset.GetGCPCount() > 0 || dataset.GetMetadata("RPC") != nullptr ||
                              dataset.GetMetadata("GEOLOCATION") != nullptr;
        throw input_error(where,
                          warpable ? "control points or a curved grid instead of regular rows and columns"
                                   : "no geotransform: the file does not say where its cells lie",
                          "a regular north-up grid",
                          warpable ? "warp it to a regular grid first: gdalwarp -t_srs EPSG:... IN OUT.tif"
                                   : "give it its place: gdal_translate -a_ullr X_MIN Y_MAX X_MAX Y_MIN IN OUT.tif");
    }
    if (!std::all_of(t.begin(), t.end(), [](double v) { return std::isfinite(v); }) || t[1] == 0.0 || t[5] == 0.0) {
        throw input_error(where, "cells of no size", "a regular north-up grid", "get the file again");
    }
    // Beyond a thousandth of a cell over the whole raster a turn matters.
    const double turn_x = std::abs(t[2]) * dataset.GetRasterYSize() / std::abs(t[1]);
    const double turn_y = std::abs(t[4]) * dataset.GetRasterXSize() / std::abs(t[5]);
    if (turn_x > 1e-3 || turn_y > 1e-3 || t[1] < 0.0) {
        throw input_error(where, t[1] < 0.0 ? "columns that run from east to west" : "a turned or sheared grid",
                          "a regular north-up grid", "warp it first: gdalwarp -r bilinear IN OUT.tif");
    }
    RasterLayout layout;
    layout.south_up = t[5] > 0.0;
    layout.grid = {.x_min = t[0],
                   .y_max = layout.south_up ? t[3] + t[5] * dataset.GetRasterYSize() : t[3],
                   .cell_width = t[1],
                   .cell_height = std::abs(t[5]),
                   .rows = dataset.GetRasterYSize(),
                   .cols = dataset.GetRasterXSize()};
    return layout;
}

Crs crs_of(GDALDataset& dataset, const std::string& where) {
    Crs crs = crs_from_handle(dataset.GetSpatialRef());
    if (!crs.given()) {
        throw input_error(where, "no coordinate reference system", "a raster that says where it lies",
                          "find out which it is and add it: gdal_translate -a_srs EPSG:... IN OUT.tif");
    }
    return crs;
}

namespace {

std::optional<double> nodata_of(GDALRasterBand& band) {
    int has = FALSE;
    double value = 0.0;
    switch (band.GetRasterDataType()) {
        case GDT_Int64: value = static_cast<double>(band.GetNoDataValueAsInt64(&has)); break;
        case GDT_UInt64: value = static_cast<double>(band.GetNoDataValueAsUInt64(&has)); break;
        default: value = band.GetNoDataValue(&has); break;
    }
    return has != FALSE ? std::optional<double>{value} : std::nullopt;
}

std::optional<double> metadata_number(GDALRasterBand& band, const char* key) {
    const char* const text = band.GetMetadataItem(key);
    if (text == nullptr) {
        return std::nullopt;
    }
    char* end = nullptr;
    const double value = CPLStrtod(text, &end);
    return end != text && *end == '\0' ? std::optional<double>{value} : std::nullopt;
}

BandRule::Storage storage_of(GDALDataType type) {
    if (type == GDT_Float32) {
        return BandRule::Storage::float32;
    }
    return type == GDT_Float64 ? BandRule::Storage::float64 : BandRule::Storage::integer;
}

}  // namespace

BandRule BandRule::of(GDALRasterBand& band, const std::string& where) {
    const GDALDataType type = band.GetRasterDataType();
    if (GDALDataTypeIsComplex(type) != FALSE) {
        throw input_error(where, "complex numbers", "plain numbers", "extract one part of them first");
    }
    if (band.GetColorInterpretation() == GCI_PaletteIndex || band.GetColorTable() != nullptr) {
        throw input_error(where, "a palette of colours", "measured values",
                          "get the data instead of the picture of it");
    }
    BandRule rule;
    rule.storage = storage_of(type);
    rule.nodata = nodata_of(band);
    rule.nodata_too = metadata_number(band, "missing_value");
    int given = FALSE;
    const double scale = band.GetScale(&given);
    rule.scale = given != FALSE ? scale : 1.0;
    const double offset = band.GetOffset(&given);
    rule.offset = given != FALSE ? offset : 0.0;
    rule.masked = (band.GetMaskFlags() & (GMF_PER_DATASET | GMF_ALPHA)) != 0 ||
                  (band.GetMaskFlags() & (GMF_ALL_VALID | GMF_NODATA)) == 0;
    if (rule.scale == 0.0 || !std::isfinite(rule.scale) || !std::isfinite(rule.offset)) {
        throw input_error(where, fmt::format("a band scale of {} and offset of {}", rule.scale, rule.offset),
                          "a finite scale other than 0", "correct them: gdal_edit.py -scale 1 -offset 0 FILE");
    }
    return rule;
}

namespace {

// A nodata value as comparisons without branches, so that a loop over many numbers can be widened. Those that do not
// apply meet nothing that is finite.
struct NodataTest {
    double value = kMissing;
    double rounded = kMissing;  // to single precision
    double tolerance = -1.0;
    double sign = 1.0;
    double beyond = std::numeric_limits<double>::infinity();  // times the sign

    [[nodiscard]] bool met_by(double stored) const {
        return (stored == value) | (stored == rounded) | (std::abs(stored - value) <= tolerance) |
               (stored * sign >= beyond);
    }
};

NodataTest test_of(const std::optional<double>& nodata, BandRule::Storage storage) {
    NodataTest test;
    if (!nodata || std::isnan(*nodata)) {
        return test;
    }
    test.value = *nodata;
    constexpr double kNoQuantity = 1e30;
    constexpr double kTextRounding = 5e-7;  // seven digits
    constexpr double kLarge = 1e5;          // below it a value so near could be a measured one
    if (storage == BandRule::Storage::integer) {
        return test;
    }
    if (std::abs(*nodata) >= kNoQuantity) {
        test.sign = std::signbit(*nodata) ? -1.0 : 1.0;
        test.beyond = kNoQuantity;
        return test;
    }
    if (storage == BandRule::Storage::float32) {
        test.rounded = static_cast<double>(static_cast<float>(*nodata));
    }
    if (std::abs(*nodata) >= kLarge) {
        test.tolerance = kTextRounding * std::abs(*nodata);
    }
    return test;
}

bool finite(double number) {
    return std::abs(number) <= std::numeric_limits<double>::max();
}

// The one number beside those that are not finite that is missing, where it is as simple as that and the type of the
// stored ones holds it; NaN where there is none.
template <typename Number>
std::optional<Number> only_missing(const NodataTest& one, const NodataTest& two) {
    const double number = std::isnan(one.rounded) ? one.value : one.rounded;
    const bool simple = one.tolerance < 0.0 && std::isinf(one.beyond) && std::isnan(two.value);
    if (!simple || std::abs(number) > static_cast<double>(std::numeric_limits<Number>::max())) {
        return std::nullopt;
    }
    const auto narrow = static_cast<Number>(number);
    const bool exact = std::isnan(number) || static_cast<double>(narrow) == number;
    return exact ? std::optional(narrow) : std::nullopt;
}

template <typename Number>
void mark(std::span<Number> stored, const BandRule& rule) {
    constexpr Number kNone = std::numeric_limits<Number>::quiet_NaN();
    const NodataTest one = test_of(rule.nodata, rule.storage);
    const NodataTest two = test_of(rule.nodata_too, rule.storage);
    if (const auto only = only_missing<Number>(one, two)) {
        const Number missing = *only;
        for (Number& number : stored) {
            const bool good = (std::abs(number) <= std::numeric_limits<Number>::max()) & (number != missing);
            number = good ? number : kNone;
        }
        return;
    }
    for (Number& number : stored) {
        const auto wide = static_cast<double>(number);
        const bool missing = !finite(wide) | one.met_by(wide) | two.met_by(wide);
        number = missing ? kNone : number;
    }
}

}  // namespace

bool BandRule::is_missing(double stored) const {
    return !std::isfinite(stored) || test_of(nodata, storage).met_by(stored) ||
           test_of(nodata_too, storage).met_by(stored);
}

void BandRule::mark_missing(std::span<float> stored) const {
    mark(stored, *this);
}

void BandRule::mark_missing(std::span<double> stored) const {
    mark(stored, *this);
}

std::int64_t file_row_begin(const RasterLayout& layout, const CellRange& range) {
    return layout.south_up ? layout.grid.rows - range.row_end : range.row_begin;
}

void turn_rows(double* values, std::int64_t count, std::int64_t width) {
    for (std::int64_t top = 0, bottom = count - 1; top < bottom; ++top, --bottom) {
        std::swap_ranges(values + top * width, values + (top + 1) * width, values + bottom * width);
    }
}

bool read_values(GDALRasterBand& band, const BandRule& rule, const RasterLayout& layout, const CellRange& range,
                 double* out) {
    const auto x = static_cast<int>(range.col_begin);
    const auto y = static_cast<int>(file_row_begin(layout, range));
    const auto width = static_cast<int>(range.cols());
    const auto height = static_cast<int>(range.rows());
    const auto count = static_cast<std::size_t>(range.rows() * range.cols());
    const GdalErrors errors;
    const CPLErr outcome = band.RasterIO(GF_Read, x, y, width, height, out, width, height, GDT_Float64, 0, 0, nullptr);
    std::vector<unsigned char> mask;
    CPLErr mask_outcome = CE_None;
    if (rule.masked) {
        mask.resize(count);
        mask_outcome = band.GetMaskBand()->RasterIO(GF_Read, x, y, width, height, mask.data(), width, height, GDT_Byte,
                                                    0, 0, nullptr);
    }
    if (outcome != CE_None || mask_outcome != CE_None || errors.failures() > 0) {
        return false;
    }
    for (std::size_t i = 0; i < count; ++i) {
        const bool hidden = rule.masked && mask[i] == 0;
        out[i] = hidden ? kMissing : rule.value(out[i]);
    }
    if (layout.south_up) {
        turn_rows(out, range.rows(), range.cols());
    }
    return true;
}

}  // namespace eaveshed
