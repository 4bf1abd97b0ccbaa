// Small Zarr stores for tests, written by hand: version 2, no compression, dimensions named as common writers do
// (https://zarr-specs.readthedocs.io/en/latest/v2/v2.0.html: .zgroup, .zarray, .zattrs, a file a chunk).
#pragma once

#include <cstddef>
#include <cstdint>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include <fmt/format.h>

#include "support/raster_file.hpp"

namespace eaveshed::testing {

// One array of doubles in one chunk for each index of its first dimension.
struct ZarrArray {
    std::string name;
    std::vector<std::string> dimensions;
    std::vector<std::size_t> shape;
    std::vector<double> values;
    std::string attributes;  // members of a JSON object, each with a comma after it
    std::string fill = "null";
};

inline void write_text(const std::filesystem::path& path, const std::string& text) {
    std::ofstream(path) << text;
}

inline void write_zarr_array(const std::filesystem::path& store, const ZarrArray& array) {
    const std::filesystem::path folder = store / array.name;
    std::filesystem::create_directories(folder);
    std::string shape;
    std::string chunks;
    std::string names;
    std::size_t chunk_size = 1;
    for (std::size_t i = 0; i < array.shape.size(); ++i) {
        const std::string comma = i == 0 ? "" : ", ";
        const bool whole = array.shape.size() == 1 || i > 0;
        shape += comma + std::to_string(array.shape[i]);
        chunks += comma + std::to_string(whole ? array.shape[i] : 1);
        names += comma + '"' + array.dimensions[i] + '"';
        chunk_size *= whole ? array.shape[i] : 1;
    }
    write_text(folder / ".zarray",
               fmt::format(R"({{"zarr_format": 2, "shape": [{}], "chunks": [{}], "dtype": "<f8", "compressor": null, )"
                           R"("fill_value": {}, "order": "C", "filters": null}})",
                           shape, chunks, array.fill));
    write_text(folder / ".zattrs", fmt::format(R"({{{}"_ARRAY_DIMENSIONS": [{}]}})", array.attributes, names));
    for (std::size_t begin = 0, chunk = 0; begin < array.values.size(); begin += chunk_size, ++chunk) {
        std::string name = std::to_string(chunk);
        for (std::size_t i = 1; i < array.shape.size(); ++i) {
            name += ".0";
        }
        std::ofstream out(folder / name, std::ios::binary);
        out.write(reinterpret_cast<const char*>(array.values.data() + begin),
                  static_cast<std::streamsize>(chunk_size * sizeof(double)));
    }
}

// The same as write_netcdf in this form; of the specification's parts those that are used here.
inline void write_zarr(const std::string& path, const NetcdfSpec& spec, const std::string& fill = "null") {
    const std::filesystem::path store(path);
    std::filesystem::remove_all(store);
    std::filesystem::create_directories(store);
    write_text(store / ".zgroup", R"({"zarr_format": 2})");
    const auto text = [](const char* key, const std::string& value) {
        return value.empty() ? std::string() : fmt::format(R"("{}": "{}", )", key, value);
    };
    write_zarr_array(store, {"time",
                             {"time"},
                             {spec.times.size()},
                             spec.times,
                             text("units", spec.time_units) + text("calendar", spec.calendar)});
    write_zarr_array(store, {"lat", {"lat"}, {spec.latitudes.size()}, spec.latitudes, text("units", spec.y_units)});
    write_zarr_array(store, {"lon", {"lon"}, {spec.longitudes.size()}, spec.longitudes, text("units", spec.x_units)});
    write_zarr_array(store, {spec.variable,
                             {"time", "lat", "lon"},
                             {spec.times.size(), spec.latitudes.size(), spec.longitudes.size()},
                             spec.stored,
                             text("units", spec.units) + text("standard_name", spec.standard_name),
                             fill});
}

}  // namespace eaveshed::testing
