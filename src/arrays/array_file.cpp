#include "array_file.hpp"

#include <array>
#include <cstdint>
#include <filesystem>

#include <fmt/format.h>
#include <gdal_priv.h>

#include "eaveshed/arrays/array_axes.hpp"
#include "eaveshed/arrays/grid_array.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/files/paths.hpp"

namespace eaveshed {

namespace {

namespace fs = std::filesystem;

// Files of a variable's folder that are chunks: their names begin with a digit; those of nested ones lie in folders.
std::uint64_t chunks_in(const fs::path& folder) {
    std::uint64_t count = 0;
    std::error_code fault;
    for (fs::recursive_directory_iterator entry(folder, fault); !fault && entry != fs::recursive_directory_iterator();
         entry.increment(fault)) {
        const std::string name = entry->path().filename().string();
        const bool chunk = !name.empty() && name[0] >= '0' && name[0] <= '9' && entry->is_regular_file(fault);
        count += chunk ? 1 : 0;
    }
    return count;
}

std::uint64_t chunks_wanted(const GDALMDArray& array) {
    std::uint64_t count = 1;
    const std::vector<GUInt64> sides = array.GetBlockSize();
    for (std::size_t i = 0; i < array.GetDimensions().size(); ++i) {
        const std::uint64_t size = array.GetDimensions()[i]->GetSize();
        const std::uint64_t side = sides[i] == 0 ? size : sides[i];
        count *= (size + side - 1) / side;
    }
    return count;
}

}  // namespace

bool is_array_file(const std::string& path) {
    if (is_zarr_store(path)) {
        return true;
    }
    std::error_code fault;
    return fs::is_regular_file(path, fault) && GdalSession::start().driver_that_matches(path) == "netCDF";
}

const char* array_noun(const std::string& path) {
    return is_zarr_store(path) ? "Zarr store" : "netCDF file";
}

bool is_newer_zarr(const std::string& path) {
    std::error_code fault;
    return is_zarr_store(path) && fs::exists(fs::path(path) / "zarr.json", fault);
}

DatasetHandle open_array_file(const std::string& path) {
    const std::array<const char*, 2> drivers{is_zarr_store(path) ? "Zarr" : "netCDF", nullptr};
    return DatasetHandle(GDALDataset::Open(path.c_str(),
                                           GDAL_OF_MULTIDIM_RASTER | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR,
                                           drivers.data(), nullptr, nullptr));
}

void judge_store(const std::string& path, const GDALMDArray& array, const std::string& where, BandRule& rule,
                 Findings& findings) {
    if (!is_zarr_store(path)) {
        return;
    }
    const bool stated = array.GetAttribute("_FillValue") != nullptr;
    const bool zero = rule.nodata == 0.0 && !stated && rule.nodata_too != 0.0;
    if (zero) {  // what is written where nothing is said; no mark of missing rain
        rule.nodata.reset();
        findings.note({where, "a fill value of 0, which is taken for the number 0", "", ""});
    }
    const std::uint64_t wanted = chunks_wanted(array);
    const std::uint64_t found = chunks_in(fs::path(path) / array.GetFullName().substr(1));
    if (found >= wanted) {
        return;
    }
    const std::string text =
        fmt::format("{} of {} chunks of {} are not in the store", wanted - found, wanted, array.GetName());
    if (!rule.nodata && !zero) {
        throw input_error(where, text + ", and no fill value says what stands for them", "a whole store",
                          "copy or write it again");
    }
    findings.warn({where, text, "a whole store",
                   zero ? "their cells count as 0, the store's fill value; if they were lost, copy it again"
                        : "their cells count as missing; copy it again if they were lost"});
}

}  // namespace eaveshed
