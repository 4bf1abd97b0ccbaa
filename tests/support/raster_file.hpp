// Small rasters for tests, written through GDAL.
#pragma once

#include <array>
#include <map>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

#include <cpl_string.h>
#include <gdal_priv.h>
#include <ogr_spatialref.h>

#include "eaveshed/outside/gdal_setup.hpp"

namespace eaveshed::testing {

// Row-major values of each band, the file's first row first.
struct RasterSpec {
    int rows = 1;
    int cols = 1;
    std::vector<std::vector<double>> bands = {};
    std::array<double, 6> transform{500000.0, 1.0, 0.0, 4000000.0, 0.0, -1.0};
    bool placed = true;  // false: no geotransform
    std::string crs = "EPSG:32610";
    GDALDataType type = GDT_Float32;
    std::optional<double> nodata = {};
    std::string unit = {};
    std::optional<double> scale = {};
    std::optional<double> offset = {};
    std::vector<std::string> descriptions = {};        // of the bands
    std::map<std::string, std::string> metadata = {};  // of the file
    std::vector<unsigned char> mask = {};              // of the file: 0 hides
    bool palette = false;                              // of the first band
    std::string driver = "GTiff";
    std::vector<std::string> options = {};  // of the driver
};

inline void write_raster(const std::string& path, const RasterSpec& spec) {
    GdalSession::start();
    const auto driver = [](const char* name) { return GetGDALDriverManager()->GetDriverByName(name); };
    const std::unique_ptr<GDALDataset> memory(
        driver("MEM")->Create("", spec.cols, spec.rows, static_cast<int>(spec.bands.size()), spec.type, nullptr));
    std::array<double, 6> transform = spec.transform;
    if (spec.placed) {
        memory->SetGeoTransform(transform.data());
    }
    OGRSpatialReference srs;
    if (!spec.crs.empty() && srs.SetFromUserInput(spec.crs.c_str()) == OGRERR_NONE) {
        srs.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
        memory->SetSpatialRef(&srs);
    }
    for (const auto& [key, value] : spec.metadata) {
        memory->SetMetadataItem(key.c_str(), value.c_str());
    }
    for (int i = 0; i < static_cast<int>(spec.bands.size()); ++i) {
        const auto at = static_cast<std::size_t>(i);
        GDALRasterBand& band = *memory->GetRasterBand(i + 1);
        std::vector<double> values = spec.bands[at];
        if (values.size() != static_cast<std::size_t>(spec.rows * spec.cols) ||
            band.RasterIO(GF_Write, 0, 0, spec.cols, spec.rows, values.data(), spec.cols, spec.rows, GDT_Float64, 0, 0,
                          nullptr) != CE_None) {
            throw std::runtime_error("a test raster of the wrong size");
        }
        if (spec.nodata) {
            band.SetNoDataValue(*spec.nodata);
        }
        if (spec.scale) {
            band.SetScale(*spec.scale);
        }
        if (spec.offset) {
            band.SetOffset(*spec.offset);
        }
        if (!spec.unit.empty()) {
            band.SetUnitType(spec.unit.c_str());
        }
        if (at < spec.descriptions.size()) {
            band.SetDescription(spec.descriptions[at].c_str());
        }
    }
    if (spec.palette) {
        GDALColorTable colours;
        const GDALColorEntry green{0, 255, 0, 255};
        colours.SetColorEntry(1, &green);
        memory->GetRasterBand(1)->SetColorTable(&colours);
    }
    if (!spec.mask.empty()) {
        std::vector<unsigned char> mask = spec.mask;
        if (memory->CreateMaskBand(GMF_PER_DATASET) != CE_None ||
            memory->GetRasterBand(1)->GetMaskBand()->RasterIO(GF_Write, 0, 0, spec.cols, spec.rows, mask.data(),
                                                              spec.cols, spec.rows, GDT_Byte, 0, 0,
                                                              nullptr) != CE_None) {
            throw std::runtime_error("no mask for a test raster");
        }
    }
    CPLStringList options;
    for (const std::string& option : spec.options) {
        options.AddString(option.c_str());
    }
    const std::unique_ptr<GDALDataset> file(
        driver(spec.driver.c_str())->CreateCopy(path.c_str(), memory.get(), FALSE, options.List(), nullptr, nullptr));
    if (file == nullptr) {
        throw std::runtime_error("a test raster that cannot be written: " + path);
    }
}

// A netCDF file of one variable over time, latitude and longitude.
struct NetcdfSpec {
    std::vector<double> longitudes = {};
    std::vector<double> latitudes = {};
    std::vector<double> times = {};
    std::string time_units = {};  // empty: not written
    std::string calendar = {};
    std::string units = {};
    std::string variable = "pr";
    std::string standard_name = "precipitation_flux";
    std::vector<double> stored = {};  // time, latitude, longitude
    GDALDataType type = GDT_Float64;
    std::optional<double> scale = {};
    std::optional<double> offset = {};
    std::optional<double> fill = {};
    std::vector<double> time_bounds = {};  // pairs; empty: none
    std::string other_variable = {};       // a second one with the same numbers
    int levels = 0;                        // a dimension between time and latitude, when above 0
    std::vector<double> level_values = {};
    std::string order = "tyx";  // of the dimensions in the file; without levels
    std::array<std::string, 3> names{"time", "lat", "lon"};
    std::string x_units = "degrees_east";
    std::string y_units = "degrees_north";
    std::string x_standard_name = {};
    std::string y_standard_name = {};
    std::map<std::string, double> numbers = {};  // attributes of the variable
    std::string crs_wkt = {};                    // of a grid mapping variable
    bool curved = false;                         // latitudes and longitudes of each cell instead of rows and columns
};

// Values of time, latitude and longitude in another order of the dimensions.
inline std::vector<double> in_order(const NetcdfSpec& spec) {
    const std::map<char, std::size_t> sizes{
        {'t', spec.times.size()}, {'y', spec.latitudes.size()}, {'x', spec.longitudes.size()}};
    const auto stride = [&](char dimension) {
        return dimension == 't' ? sizes.at('y') * sizes.at('x') : dimension == 'y' ? sizes.at('x') : std::size_t{1};
    };
    std::vector<double> values;
    for (std::size_t a = 0; a < sizes.at(spec.order[0]); ++a) {
        for (std::size_t b = 0; b < sizes.at(spec.order[1]); ++b) {
            for (std::size_t c = 0; c < sizes.at(spec.order[2]); ++c) {
                values.push_back(
                    spec.stored[a * stride(spec.order[0]) + b * stride(spec.order[1]) + c * stride(spec.order[2])]);
            }
        }
    }
    return values;
}

inline void write_netcdf(const std::string& path, const NetcdfSpec& spec) {
    GdalSession::start();
    const std::unique_ptr<GDALDataset> file(
        GetGDALDriverManager()->GetDriverByName("netCDF")->CreateMultiDimensional(path.c_str(), nullptr, nullptr));
    const auto root = file->GetRootGroup();
    const auto number = GDALExtendedDataType::Create(GDT_Float64);
    const auto text = [](const std::shared_ptr<GDALMDArray>& array, const char* key, const std::string& value) {
        if (!value.empty()) {
            array->CreateAttribute(key, {}, GDALExtendedDataType::CreateString())->Write(value.c_str());
        }
    };
    const auto write = [&number](const std::shared_ptr<GDALMDArray>& array, const std::vector<double>& values) {
        std::vector<GUInt64> start;
        std::vector<std::size_t> count;
        for (const auto& dimension : array->GetDimensions()) {
            start.push_back(0);
            count.push_back(dimension->GetSize());
        }
        if (!array->Write(start.data(), count.data(), nullptr, nullptr, number, values.data())) {
            throw std::runtime_error("a test variable that cannot be written");
        }
    };
    const auto& [time_name, y_name, x_name] = spec.names;
    const auto time = root->CreateDimension(time_name, GDAL_DIM_TYPE_TEMPORAL, "", spec.times.size());
    const auto y = root->CreateDimension(y_name, GDAL_DIM_TYPE_HORIZONTAL_Y, "", spec.latitudes.size());
    const auto x = root->CreateDimension(x_name, GDAL_DIM_TYPE_HORIZONTAL_X, "", spec.longitudes.size());
    const auto times = root->CreateMDArray(time_name, {time}, number);
    text(times, "units", spec.time_units);
    text(times, "calendar", spec.calendar);
    write(times, spec.times);
    const std::vector<std::shared_ptr<GDALDimension>> cells{y, x};
    const auto latitudes =
        root->CreateMDArray(spec.curved ? "latitude2d" : y_name,
                            spec.curved ? cells : std::vector<std::shared_ptr<GDALDimension>>{y}, number);
    const auto longitudes =
        root->CreateMDArray(spec.curved ? "longitude2d" : x_name,
                            spec.curved ? cells : std::vector<std::shared_ptr<GDALDimension>>{x}, number);
    text(latitudes, "units", spec.y_units);
    text(longitudes, "units", spec.x_units);
    text(latitudes, "standard_name", spec.y_standard_name);
    text(longitudes, "standard_name", spec.x_standard_name);
    std::vector<double> y_values = spec.latitudes;
    std::vector<double> x_values = spec.longitudes;
    if (spec.curved) {
        y_values.clear();
        x_values.clear();
        for (const double latitude : spec.latitudes) {
            for (const double longitude : spec.longitudes) {
                y_values.push_back(latitude + 0.01 * longitude);
                x_values.push_back(longitude + 0.01 * latitude);
            }
        }
    }
    write(latitudes, y_values);
    write(longitudes, x_values);
    if (!spec.time_bounds.empty()) {
        text(times, "bounds", "time_bnds");
        write(root->CreateMDArray("time_bnds", {time, root->CreateDimension("bnds", "", "", 2)}, number),
              spec.time_bounds);
    }
    const std::map<char, std::shared_ptr<GDALDimension>> by_letter{{'t', time}, {'y', y}, {'x', x}};
    std::vector<std::shared_ptr<GDALDimension>> dimensions;
    for (const char letter : spec.order) {
        dimensions.push_back(by_letter.at(letter));
    }
    if (spec.levels > 0) {
        const auto level = root->CreateDimension("lev", "", "", static_cast<GUInt64>(spec.levels));
        if (!spec.level_values.empty()) {
            write(root->CreateMDArray("lev", {level}, number), spec.level_values);
        }
        dimensions.insert(dimensions.begin() + 1, level);
    }
    const auto add = [&](const std::string& name, const std::string& standard_name) {
        const auto array = root->CreateMDArray(name, dimensions, GDALExtendedDataType::Create(spec.type));
        text(array, "units", spec.units);
        text(array, "standard_name", standard_name);
        text(array, "grid_mapping", spec.crs_wkt.empty() ? "" : "mapping");
        text(array, "coordinates", spec.curved ? "latitude2d longitude2d" : "");
        if (spec.fill) {
            array->SetNoDataValue(*spec.fill);
        }
        for (const auto& [key, value] : spec.numbers) {
            array->CreateAttribute(key, {}, number)->Write(value);
        }
        write(array, spec.levels > 0 ? spec.stored : in_order(spec));
        if (spec.scale) {
            array->SetScale(*spec.scale);
        }
        if (spec.offset) {
            array->SetOffset(*spec.offset);
        }
    };
    add(spec.variable, spec.standard_name);
    if (!spec.crs_wkt.empty()) {
        const auto mapping = root->CreateMDArray("mapping", {}, GDALExtendedDataType::Create(GDT_Int32));
        text(mapping, "crs_wkt", spec.crs_wkt);
    }
    if (!spec.other_variable.empty()) {
        add(spec.other_variable, "air_temperature");
    }
}

}  // namespace eaveshed::testing
