// What a netCDF file says beside its bands: which variable is meant, which dimension is time, and what GDAL's raster
// view leaves out: bounds of the time steps, and how even the rows and columns are.
#pragma once

#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/outside/gdal_setup.hpp"

class GDALMajorObject;

namespace eaveshed {

// A metadata item; empty when there is none.
[[nodiscard]] std::string metadata_text(GDALMajorObject& object, const std::string& key);

// A file with several variables shows no band: the only one whose CF standard name is listed is opened and `open_name`
// set to what GDAL opens. Throws an input error that lists the variables when it is not one.
[[nodiscard]] DatasetHandle choose_variable(GDALDataset& file, const std::vector<std::string>& standard_names,
                                            const std::string& where, std::string& open_name, Findings& findings);

// Coordinates in degrees north and east.
[[nodiscard]] bool has_degrees(GDALDataset& dataset);

// The one dimension besides rows and columns that has steps; empty when there is none. Throws an input error when there
// are several. Reads metadata that a copy in another format may have kept.
[[nodiscard]] std::string time_dimension(GDALDataset& dataset, const std::string& where);

struct NetcdfAxes {
    // Middles of the time steps by the bounds variable, in the time axis's own units; empty without bounds.
    std::vector<double> step_middles;
    // Largest distance of a row or column from the even grid, in cells; 0 when it cannot be told.
    double unevenness = 0.0;
};

// `variable` of the file; `time_name`: its time dimension, empty for none. Throws a working error when an axis cannot
// be read.
[[nodiscard]] NetcdfAxes netcdf_axes(const std::string& where, const std::string& path, const std::string& variable,
                                     const std::string& time_name);

}  // namespace eaveshed
