#include "survey_grid.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <iterator>
#include <optional>

#include <gdal_priv.h>

#include "eaveshed/arrays/grid_array.hpp"
#include "eaveshed/climate/climate_stack.hpp"
#include "eaveshed/climate/rain_rules.hpp"
#include "eaveshed/outside/gdal_setup.hpp"
#include "eaveshed/raster/band_rule.hpp"
#include "eaveshed/raster/raster_dataset.hpp"
#include "eaveshed/shape/ellipsoid.hpp"
#include "eaveshed/survey/sample_cells.hpp"
#include "eaveshed/words/wording.hpp"
#include "place_seen.hpp"

namespace eaveshed {

namespace {

constexpr int kMonths = 12;

// The CF names of what a project reads, so that the right one of several variables is opened.
std::vector<std::string> standard_names() {
    std::vector<std::string> names = rain_standard_names();
    names.insert(names.end(), {"surface_altitude", "air_temperature", "water_evapotranspiration_flux"});
    return names;
}

// Values that are not missing.
struct Sample {
    std::vector<double> values;

    void add(const std::vector<double>& read) {
        std::ranges::copy_if(read, std::back_inserter(values), [](double value) { return std::isfinite(value); });
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
    const MetresPerDegree degree = metres_per_degree(latitude, stack.crs.ellipsoid());
    return std::min(stack.grid.cell_width * degree.east, stack.grid.cell_height * degree.north);
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

std::string metadata_text(GDALMajorObject& object, const char* key) {
    const char* const text = object.GetMetadataItem(key);
    return text != nullptr ? text : "";
}

// What the file calls itself: band descriptions, variable and standard names.
std::string words_of(GDALDataset& dataset, GDALRasterBand& band) {
    std::string words = band.GetDescription();
    for (const char* const key : {"standard_name", "long_name", "DESCRIPTION"}) {
        words += " " + metadata_text(band, key);
    }
    words += " " + metadata_text(dataset, "TIFFTAG_IMAGEDESCRIPTION");
    return lower_case(printable(words, 300));
}

// The bands of a raster, or the steps of an array.
class BandsOfFile {
public:
    explicit BandsOfFile(const StackFile& file) : m_file(file) {
        if (file.array) {
            m_array.emplace(*file.array);
        } else {
            m_dataset.reset(GDALDataset::Open(file.path.c_str(), GDAL_OF_RASTER | GDAL_OF_READONLY));
        }
    }
    void add(int number, Sample& sample) const {
        const GdalErrors quiet;
        std::int64_t rows = m_file.layout.grid.rows;
        std::int64_t cols = m_file.layout.grid.cols;
        int block_cols = 1;  // of an array no blocks are known here
        int block_rows = 1;
        if (m_dataset != nullptr) {
            GDALRasterBand& band = *m_dataset->GetRasterBand(number);
            band.GetBlockSize(&block_cols, &block_rows);
            rows = band.GetYSize();
            cols = band.GetXSize();
        }
        for (const CellRange& cells : sample_cells(rows, cols, block_rows, block_cols)) {
            std::vector<double> stored(static_cast<std::size_t>(cells.rows() * cells.cols()));
            if (read(number, cells, stored)) {
                sample.add(stored);
            }
        }
    }
    [[nodiscard]] std::string words() const {
        return m_dataset != nullptr ? words_of(*m_dataset, *m_dataset->GetRasterBand(1))
                                    : lower_case(printable(m_file.words, 300));
    }

private:
    // Values, NaN where missing; false where a part of it cannot be read.
    [[nodiscard]] bool read(int number, const CellRange& cells, std::vector<double>& values) const {
        const BandRule& rule = m_file.rules.at(static_cast<std::size_t>(number - 1));
        if (m_dataset != nullptr) {
            return read_values(*m_dataset->GetRasterBand(number), rule, cells, values.data());
        }
        const bool read = m_array && m_array->intact() &&
                          m_array->read(cells, static_cast<std::size_t>(number - 1), 1, values.data());
        std::ranges::transform(values, values.begin(), [&](double stored) { return rule.value(stored); });
        return read;
    }

    const StackFile& m_file;
    DatasetHandle m_dataset;
    std::optional<ArrayReader> m_array;
};

}  // namespace

GridSeen grid_seen(const std::string& path, Findings& findings) {
    const ClimateStack stack =
        open_stack({.setting = "check.new", .standard_names = standard_names(), .calendar = ""}, {path}, findings);
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
    const BandRule& rule = file.rules.front();
    seen.whole_numbers = rule.storage == BandRule::Storage::integer && rule.scale == 1.0;
    const BandsOfFile bands(file);
    Sample sample;
    const int looked_at = seen.steps == StepsSeen::twelve ? kMonths : 1;
    for (int number = 1; number <= looked_at; ++number) {
        Sample of_band;
        bands.add(number, of_band);
        if (seen.steps == StepsSeen::twelve) {
            seen.means.push_back(of_band.mean());
        }
        sample.values.insert(sample.values.end(), of_band.values.begin(), of_band.values.end());
    }
    seen.words = bands.words();
    describe(seen, std::move(sample));
    return seen;
}

}  // namespace eaveshed
