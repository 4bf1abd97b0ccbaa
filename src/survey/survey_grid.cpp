#include "survey_grid.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <gdal_priv.h>

#include "eaveshed/climate/climate_stack.hpp"
#include "eaveshed/climate/netcdf_view.hpp"
#include "eaveshed/core/constants.hpp"
#include "eaveshed/outside/gdal_setup.hpp"
#include "eaveshed/raster/raster_dataset.hpp"
#include "eaveshed/words/wording.hpp"
#include "place_seen.hpp"

namespace eaveshed {

namespace {

constexpr int kSampleSide = 200;  // cells of a thinned-out look at a band
constexpr int kMonths = 12;
constexpr double kMetresPerDegree = 111320.0;  // at the equator, WGS 84

// The CF names of what a project reads, so that the right one of several variables is opened.
const std::vector<std::string> kStandardNames{"precipitation_amount",
                                              "precipitation_flux",
                                              "rainfall_amount",
                                              "rainfall_flux",
                                              "rainfall_rate",
                                              "lwe_thickness_of_precipitation_amount",
                                              "surface_altitude",
                                              "lwe_precipitation_rate",
                                              "thickness_of_rainfall_amount",
                                              "air_temperature",
                                              "water_evapotranspiration_flux"};

// Every so many cells of a band; missing ones left out and counted.
struct Sample {
    std::vector<double> values;
    std::size_t missing = 0;

    void add(GDALRasterBand& band, const BandRule& rule) {
        const int cols = std::min(kSampleSide, band.GetXSize());
        const int rows = std::min(kSampleSide, band.GetYSize());
        std::vector<double> stored(static_cast<std::size_t>(cols) * static_cast<std::size_t>(rows));
        const GdalErrors quiet;
        if (band.RasterIO(GF_Read, 0, 0, band.GetXSize(), band.GetYSize(), stored.data(), cols, rows, GDT_Float64, 0, 0,
                          nullptr) != CE_None) {
            return;
        }
        for (const double number : stored) {
            const double value = rule.value(number);
            if (std::isfinite(value)) {
                values.push_back(value);
            } else {
                ++missing;
            }
        }
    }
    [[nodiscard]] double mean() const {
        double sum = 0.0;
        for (const double value : values) {
            sum += value;
        }
        return values.empty() ? 0.0 : sum / static_cast<double>(values.size());
    }
};

void describe(GridSeen& seen, Sample sample) {
    const std::size_t all = sample.values.size() + sample.missing;
    seen.missing_share = all == 0 ? 0.0 : static_cast<double>(sample.missing) / static_cast<double>(all);
    if (sample.values.empty()) {
        return;
    }
    std::ranges::sort(sample.values);
    seen.least = sample.values.front();
    seen.median = sample.values[sample.values.size() / 2];
    seen.most = sample.values.back();
}

double cell_m(const ClimateStack& stack) {
    const double side = stack.grid.smaller_cell_side();
    if (!stack.crs.is_geographic()) {
        return side * stack.crs.metres_per_unit();
    }
    const double latitude = (stack.grid.y_max + stack.grid.y_min()) / 2.0;
    const double east = stack.grid.cell_width * std::cos(latitude * std::numbers::pi / 180.0);
    return std::min(east, stack.grid.cell_height) * kMetresPerDegree;
}

// Steps by the dates of the bands.
StepsSeen steps_of(const ClimateStack& stack, GridSeen& seen) {
    std::vector<std::int64_t> days;
    for (const StackBand& band : stack.bands) {
        if (band.date) {
            days.push_back(day_number(stack.calendar.calendar, *band.date));
        }
    }
    std::ranges::sort(days);
    if (!days.empty()) {
        seen.first = date_of(stack.calendar.calendar, days.front());
        seen.last = date_of(stack.calendar.calendar, days.back());
    }
    if (stack.bands.size() <= 1) {
        return StepsSeen::one;
    }
    if (stack.bands.size() == kMonths) {
        return StepsSeen::twelve;
    }
    if (days.size() < stack.bands.size()) {
        return StepsSeen::undated;
    }
    constexpr double kLongDay = 2.0;
    const double step = static_cast<double>(days.back() - days.front()) / static_cast<double>(days.size() - 1);
    return step < kLongDay ? StepsSeen::days : StepsSeen::months;
}

// What the file calls itself: band descriptions, variable and standard names.
std::string words_of(GDALDataset& dataset, GDALRasterBand& band) {
    std::string words = band.GetDescription();
    for (const char* const key : {"NETCDF_VARNAME", "standard_name", "long_name", "DESCRIPTION"}) {
        words += " " + metadata_text(band, key);
    }
    words += " " + metadata_text(dataset, "TIFFTAG_IMAGEDESCRIPTION");
    return lower_case(printable(words, 300));
}

}  // namespace

GridSeen grid_seen(const std::string& path, Findings& findings) {
    const ClimateStack stack =
        open_stack({.setting = "check.new", .standard_names = kStandardNames, .calendar = ""}, {path}, findings);
    GridSeen seen;
    seen.bands = static_cast<int>(stack.bands.size());
    seen.rows = stack.grid.rows;
    seen.cols = stack.grid.cols;
    seen.cell_m = cell_m(stack);
    seen.crs = stack.crs.name();
    seen.degrees = in_degrees(stack.crs, stack.grid.extent());
    seen.unit = stack.units.size() == 1 ? *stack.units.begin() : "";
    seen.steps = steps_of(stack, seen);
    const StackFile& file = stack.files.front();
    const DatasetHandle dataset(GDALDataset::Open(file.open_name.c_str(), GDAL_OF_RASTER | GDAL_OF_READONLY));
    if (!dataset) {
        return seen;
    }
    Sample sample;
    const int looked_at = seen.steps == StepsSeen::twelve ? dataset->GetRasterCount() : 1;
    for (int number = 1; number <= looked_at; ++number) {
        GDALRasterBand& band = *dataset->GetRasterBand(number);
        const BandRule& rule = file.rules.at(static_cast<std::size_t>(number - 1));
        Sample of_band;
        of_band.add(band, rule);
        if (seen.steps == StepsSeen::twelve) {
            seen.means.push_back(of_band.mean());
        }
        sample.values.insert(sample.values.end(), of_band.values.begin(), of_band.values.end());
        sample.missing += of_band.missing;
        if (number == 1) {
            seen.words = words_of(*dataset, band);
            seen.whole_numbers = rule.storage == BandRule::Storage::integer && rule.scale == 1.0;
        }
    }
    describe(seen, std::move(sample));
    return seen;
}

}  // namespace eaveshed
