// The files that hold arrays: netCDF by content, Zarr by its folder.
#pragma once

#include <string>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/outside/gdal_setup.hpp"
#include "eaveshed/raster/band_rule.hpp"

class GDALMDArray;

namespace eaveshed {

// "netCDF file" or "Zarr store".
[[nodiscard]] const char* array_noun(const std::string& path);

// A Zarr store of version 3, which the oldest GDAL that this program is built with cannot read.
[[nodiscard]] bool is_newer_zarr(const std::string& path);

// Null when it cannot be opened.
[[nodiscard]] DatasetHandle open_array_file(const std::string& path);

// Of a Zarr store: what its fill value means, and whether chunks are absent. Throws an input error where absent chunks
// have no value; warns where they have.
void judge_store(const std::string& path, const GDALMDArray& array, const std::string& where, BandRule& rule,
                 Findings& findings);

}  // namespace eaveshed
