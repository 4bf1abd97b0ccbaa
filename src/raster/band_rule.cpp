#include "eaveshed/raster/band_rule.hpp"

#include <cmath>
#include <limits>
#include <vector>

#include <fmt/format.h>
#include <gdal_priv.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/outside/gdal_setup.hpp"

namespace eaveshed {

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

bool read_values(GDALRasterBand& band, const BandRule& rule, const CellRange& range, double* out) {
    const auto x = static_cast<int>(range.col_begin);
    const auto y = static_cast<int>(range.row_begin);
    const auto width = static_cast<int>(range.cols());
    const auto height = static_cast<int>(range.rows());
    const auto count = static_cast<std::size_t>(range.rows() * range.cols());
    const auto read = [&](GDALRasterBand& from, double* to) {
        return from.RasterIO(GF_Read, x, y, width, height, to, width, height, GDT_Float64, 0, 0, nullptr) == CE_None;
    };
    const GdalErrors errors;
    bool whole = read(band, out);
    if (whole && rule.masked) {
        GDALRasterBand* const mask =
            rule.alpha_band > 0 ? band.GetDataset()->GetRasterBand(rule.alpha_band) : band.GetMaskBand();
        std::vector<double> shown(count);
        whole = read(*mask, shown.data());
        for (std::size_t i = 0; i < count; ++i) {
            out[i] = shown[i] == 0.0 || std::isnan(shown[i]) ? kMissing : out[i];
        }
    }
    if (!whole || errors.failures() > 0) {
        return false;
    }
    for (std::size_t i = 0; i < count; ++i) {
        out[i] = std::isnan(out[i]) ? kMissing : rule.value(out[i]);
    }
    return true;
}

}  // namespace eaveshed
