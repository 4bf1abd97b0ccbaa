// VRT files. What the look lets pass opens in GDAL with nothing but plain local files, or is refused with an error; its
// parts lie inside the raster, and what no part covers is hidden, no more and no less.
#include <algorithm>
#include <cmath>
#include <filesystem>

#include <gdal_priv.h>

#include "eaveshed/outside/gdal_setup.hpp"
#include "eaveshed/raster/raster_dataset.hpp"
#include "eaveshed/raster/raster_mosaic.hpp"
#include "eaveshed/raster/vrt_check.hpp"
#include "eaveshed/raster/vrt_parts.hpp"
#include "fuzz/target.hpp"
#include "support/raster_file.hpp"

namespace eaveshed::fuzz {

namespace {

constexpr const char* kSetting = "terrain.elevation";

// The files that VRTs may name, made once.
void make_sources() {
    static const bool made = [] {
        testing::RasterSpec spec;
        spec.rows = 2;
        spec.cols = 3;
        spec.bands = {{1, 2, 3, 4, 5, 6}};
        testing::write_raster((std::filesystem::path(scratch_folder()) / "a.tif").string(), spec);
        spec.transform[0] += 3.0;
        testing::write_raster((std::filesystem::path(scratch_folder()) / "b.tif").string(), spec);
        return true;
    }();
    static_cast<void>(made);
}

void look_at_files(GDALDataset& dataset) {
    char** const names = dataset.GetFileList();
    for (char** name = names; name != nullptr && *name != nullptr; ++name) {
        std::error_code fault;
        const bool plain = std::filesystem::is_regular_file(*name, fault);
        require(plain, std::string("a VRT that passed and reads ") + *name);
    }
    CSLDestroy(names);
}

void look_at_cover(const std::vector<VrtPart>& parts, std::int64_t rows, std::int64_t cols) {
    const VrtCover cover(parts, rows, cols);
    const CellRange range{0, std::min<std::int64_t>(rows, 40), 0, std::min<std::int64_t>(cols, 40)};
    std::vector<double> values(static_cast<std::size_t>(range.rows() * range.cols()), 1.0);
    cover.hide(range, values.data());
    for (std::int64_t row = 0; row < range.rows(); ++row) {
        for (std::int64_t col = 0; col < range.cols(); ++col) {
            const bool covered = std::ranges::any_of(parts, [&](const VrtPart& part) {
                return row >= part.cells.row_begin && row < part.cells.row_end && col >= part.cells.col_begin &&
                       col < part.cells.col_end;
            });
            const double value = values[static_cast<std::size_t>(row * range.cols() + col)];
            require(std::isnan(value) == !covered, "a cell that is hidden and covered, or neither");
        }
    }
}

void look_at_parts(const std::string& path, GDALDataset& dataset) {
    const std::int64_t rows = dataset.GetRasterYSize();
    const std::int64_t cols = dataset.GetRasterXSize();
    for (int band = 1; band <= std::min(dataset.GetRasterCount(), 3); ++band) {
        const std::vector<VrtPart> parts = parts_of_vrt(path, band);
        for (const VrtPart& part : parts) {
            require(part.cells.row_begin >= 0 && part.cells.col_begin >= 0 && part.cells.row_end <= rows &&
                        part.cells.col_end <= cols && part.cells.rows() >= 0 && part.cells.cols() >= 0,
                    "a part outside the raster");
        }
        look_at_cover(parts, rows, cols);
    }
}

}  // namespace

void fuzz_vrt(Bytes bytes) {
    make_sources();
    const std::string path = scratch_file("look.vrt", bytes);
    if (GdalSession::start().driver_that_matches(path) != "VRT" ||
        !accepts([&] { check_vrt(kSetting, path, elevation_drivers()); })) {
        return;
    }
    accepts([&] {
        const DatasetHandle dataset = open_raster(kSetting, path, elevation_drivers());
        look_at_files(*dataset);
        look_at_parts(path, *dataset);
    });
    Findings findings;
    accepts([&] { (void)look_at_mosaic(kSetting, {path}, {}, findings); });
}

}  // namespace eaveshed::fuzz
