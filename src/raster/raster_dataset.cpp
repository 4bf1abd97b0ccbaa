#include "eaveshed/raster/raster_dataset.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <new>
#include <numbers>
#include <utility>

#include <fmt/format.h>
#include <gdal_priv.h>
#include <glob.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/files/paths.hpp"
#include "eaveshed/network/address.hpp"
#include "eaveshed/network/remote_file.hpp"
#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/outside/remote_names.hpp"
#include "eaveshed/raster/vrt_check.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

std::vector<std::string> expand_paths(const std::string& setting, const std::vector<std::string>& paths) {
    std::vector<std::string> files;
    for (const std::string& path : paths) {
        std::error_code fault;
        if (is_address(path) || path.find_first_of("*?[") == std::string::npos ||
            std::filesystem::exists(path, fault)) {
            require_readable(setting, path, FileKind::raster);
            files.push_back(path);
            continue;
        }
        glob_t found{};
        const int outcome = glob(path.c_str(), GLOB_NOSORT, nullptr, &found);
        std::vector<std::string> matches(found.gl_pathv, found.gl_pathv + (outcome == 0 ? found.gl_pathc : 0));
        globfree(&found);
        if (outcome == GLOB_NOSPACE) {
            throw std::bad_alloc{};
        }
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

void require_blocks_that_fit(const std::string& where, GDALDataset& dataset) {
    constexpr std::uint64_t kMostBytes = std::uint64_t{1} << 30U;
    constexpr std::uint64_t kMiB = std::uint64_t{1} << 20U;
    if (dataset.GetRasterCount() == 0) {
        return;
    }
    int cols = 1;
    int rows = 1;
    GDALRasterBand& band = *dataset.GetRasterBand(1);
    band.GetBlockSize(&cols, &rows);
    const char* const interleaved = dataset.GetMetadataItem("INTERLEAVE", "IMAGE_STRUCTURE");
    const bool together = interleaved != nullptr && std::string_view(interleaved) == "PIXEL";
    const auto bands = static_cast<std::uint64_t>(together ? dataset.GetRasterCount() : 1);
    const std::uint64_t numbers = static_cast<std::uint64_t>(cols) * static_cast<std::uint64_t>(rows);
    const auto number_bytes =
        static_cast<std::uint64_t>(std::max(1, GDALGetDataTypeSizeBytes(band.GetRasterDataType())));
    if (numbers > kMostBytes / (number_bytes * bands)) {
        throw input_error(where,
                          fmt::format("blocks of {} x {} numbers{}, {} MiB each that are unpacked as a whole", cols,
                                      rows, together ? fmt::format(" in {} bands together", bands) : "",
                                      numbers / kMiB * number_bytes * bands),
                          fmt::format("blocks of at most {} MiB", kMostBytes / kMiB),
                          "write it again in tiles: gdal_translate -co TILED=YES -co INTERLEAVE=BAND");
    }
}

DatasetHandle open_raster(const std::string& setting, const std::string& path,
                          const std::vector<std::string>& drivers) {
    const GdalSession& session = GdalSession::start();
    require_readable(setting, path, FileKind::raster);
    static_cast<void>(companion_files(path));  // those behind an address are there for GDAL when they were looked for
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
    DatasetHandle dataset(GDALDataset::Open(gdal_name(path).c_str(),
                                            GDAL_OF_RASTER | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR, allowed.data(),
                                            nullptr, nullptr));
    throw_network_fault();
    if (dataset == nullptr || errors.failures() > 0) {
        refuse_format(where, driver, errors.text(), drivers);
    }
    require_blocks_that_fit(where, *dataset);
    return dataset;
}

CellRange RasterLayout::in_file(const CellRange& range) const {
    CellRange turned = range;
    if (south_up) {
        turned.row_begin = grid.rows - range.row_end;
        turned.row_end = grid.rows - range.row_begin;
    }
    if (mirrored) {
        turned.col_begin = grid.cols - range.col_end;
        turned.col_end = grid.cols - range.col_begin;
    }
    return transposed ? CellRange{turned.col_begin, turned.col_end, turned.row_begin, turned.row_end} : turned;
}

Cell RasterLayout::in_grid(Cell file) const {
    const Cell cell = transposed ? Cell{file.col, file.row} : file;
    return {south_up ? grid.rows - 1 - cell.row : cell.row, mirrored ? grid.cols - 1 - cell.col : cell.col};
}

namespace {

using GeoTransform = std::array<double, 6>;

GeoTransform geotransform_of(GDALDataset& dataset, const std::string& where) {
    GeoTransform t{};
    if (dataset.GetGeoTransform(t.data()) != CE_None) {
        const bool warpable = dataset.GetGCPCount() > 0 || dataset.GetMetadata("RPC") != nullptr ||
                              dataset.GetMetadata("GEOLOCATION") != nullptr;
        throw input_error(where,
                          warpable ? "control points or a curved grid instead of regular rows and columns"
                                   : "no geotransform: the file does not say where its cells lie",
                          "a regular grid",
                          warpable ? "warp it to a regular grid first: gdalwarp -t_srs EPSG:... IN OUT.tif"
                                   : "give it its place: gdal_translate -a_ullr X_MIN Y_MAX X_MAX Y_MIN IN OUT.tif");
    }
    return t;
}

// Whether the terms of `turn`, over the whole raster, move a cell by no more than a thousandth of a side.
bool no_turn(double by_rows, double rows, double by_cols, double cols, double width, double height) {
    return std::abs(by_rows) * rows <= 1e-3 * std::abs(width) && std::abs(by_cols) * cols <= 1e-3 * std::abs(height);
}

}  // namespace

namespace {

// A grid whose rows and columns run along no axis, in the plane turned to its columns. None for a sheared one: beyond a
// thousandth of a cell over the whole raster its cells are no rectangles.
std::optional<RasterLayout> turned_layout(const GeoTransform& t, int rows, int cols) {
    const double width = std::hypot(t[1], t[4]);
    const double height = std::hypot(t[2], t[5]);
    const double lean = (t[1] * t[2] + t[4] * t[5]) / width;  // of a row's side along the columns
    if (std::abs(lean) * rows > 1e-3 * width || std::abs(lean) * cols > 1e-3 * height) {
        return std::nullopt;
    }
    constexpr double kHalfTurnDeg = 180.0;
    RasterLayout layout;
    layout.turn_deg = std::atan2(t[4], t[1]) * kHalfTurnDeg / std::numbers::pi;
    layout.turn_origin = {t[0], t[3]};
    layout.south_up = t[1] * t[5] - t[2] * t[4] > 0.0;
    layout.grid = {.x_min = 0.0,
                   .y_max = layout.south_up ? height * rows : 0.0,
                   .cell_width = width,
                   .cell_height = height,
                   .rows = rows,
                   .cols = cols};
    return layout;
}

}  // namespace

RasterLayout layout_of(GDALDataset& dataset, const std::string& where, GridTurns turns) {
    const GeoTransform t = geotransform_of(dataset, where);
    const int file_rows = dataset.GetRasterYSize();
    const int file_cols = dataset.GetRasterXSize();
    RasterLayout layout;
    const bool finite = std::all_of(t.begin(), t.end(), [](double v) { return std::isfinite(v); });
    layout.transposed = t[1] == 0.0 && t[5] == 0.0;
    const double width = layout.transposed ? t[2] : t[1];  // of a cell of the grid
    const double height = layout.transposed ? t[4] : t[5];
    if (!finite || t[1] * t[5] - t[2] * t[4] == 0.0) {
        throw input_error(where, "cells of no size", "a regular grid", "get the file again");
    }
    layout.mirrored = width < 0.0;
    layout.south_up = height > 0.0;
    const bool straight = layout.transposed || no_turn(t[2], file_rows, t[4], file_cols, t[1], t[5]);
    if (!straight && turns == GridTurns::any) {
        if (const auto turned = turned_layout(t, file_rows, file_cols)) {
            return *turned;
        }
    }
    if (!straight || (turns == GridTurns::upside_down && (layout.mirrored || layout.transposed))) {
        throw input_error(where, straight ? "columns that run from east to west" : "a turned or sheared grid",
                          "a grid of rows from west to east", "warp it first: gdalwarp -r bilinear IN OUT.tif");
    }
    const int rows = layout.transposed ? file_cols : file_rows;
    const int cols = layout.transposed ? file_rows : file_cols;
    layout.grid = {.x_min = layout.mirrored ? t[0] + width * cols : t[0],
                   .y_max = layout.south_up ? t[3] + height * rows : t[3],
                   .cell_width = std::abs(width),
                   .cell_height = std::abs(height),
                   .rows = rows,
                   .cols = cols};
    return layout;
}

namespace {

// The box of the file's corners; none without a geotransform.
std::optional<Box> corners_of(GDALDataset& dataset) {
    GeoTransform t{};
    if (dataset.GetGeoTransform(t.data()) != CE_None) {
        return std::nullopt;
    }
    Box box;
    for (const double row : {0.0, static_cast<double>(dataset.GetRasterYSize())}) {
        for (const double col : {0.0, static_cast<double>(dataset.GetRasterXSize())}) {
            box.add(Point{t[0] + col * t[1] + row * t[2], t[3] + col * t[4] + row * t[5]});
        }
    }
    return box;
}

constexpr double kTurn = 360.0;
constexpr double kPole = 90.0;

bool like_degrees(const Box& box) {
    return box.x_min >= -kTurn && box.x_max <= kTurn && box.y_min >= -kPole && box.y_max <= kPole;
}

std::string box_words(const Box& box) {
    return fmt::format("x {:.6g} to {:.6g}, y {:.6g} to {:.6g}", box.x_min, box.x_max, box.y_min, box.y_max);
}

// What coordinates without a CRS look like.
std::string guess_of(const Box& box, const std::optional<Neighbour>& neighbour) {
    if (neighbour && neighbour->crs.given() && box.intersects(neighbour->extent)) {
        return fmt::format("its coordinates ({}) would fit {} if it lay in {} as they do", box_words(box),
                           neighbour->label, neighbour->crs.name());
    }
    return fmt::format("its coordinates ({}) look like {}", box_words(box),
                       like_degrees(box) ? "degrees, EPSG:4326 for example"
                                         : "metres or feet of a projection, of a UTM zone or a national grid");
}

// Degrees in a projected CRS, or metres in a geographic one: the file's CRS is not that of its coordinates.
void require_fitting(const Box& box, const Crs& crs, double cell, const std::string& where) {
    const double turn = crs.is_geographic() ? kTurn / crs.degrees_per_unit() : kTurn;
    const double pole = crs.is_geographic() ? kPole / crs.degrees_per_unit() : kPole;
    constexpr double kMoreCells = 2.0;  // a grid of the whole Earth may reach over by a cell
    const double more = kMoreCells * cell;
    const bool on_earth = box.x_min >= -turn - more && box.x_max <= 1.5 * turn + more && box.y_min >= -pole - more &&
                          box.y_max <= pole + more;
    if (crs.is_geographic() && !on_earth) {
        throw input_error(
            where, fmt::format("coordinates that are no degrees ({}) in {}", box_words(box), crs.name()),
            "longitudes and latitudes",
            "find out which CRS they belong to and set it: gdal_edit.py -a_srs EPSG:... FILE; or latitude stands where "
            "longitude should");
    }
    // Real cells of less than a hundredth of a metre do not exist; a step of 0.01 degrees is a kilometre.
    constexpr double kFinestCell = 0.01;
    if (!crs.is_geographic() && !crs.is_local() && like_degrees(box) && cell < kFinestCell) {
        throw input_error(where,
                          fmt::format("coordinates that look like degrees ({}) in {}", box_words(box), crs.name()),
                          "coordinates of the CRS that the file states",
                          "if they are longitudes and latitudes, say so: gdal_edit.py -a_srs EPSG:4326 FILE");
    }
}

}  // namespace

Crs crs_of(GDALDataset& dataset, const std::string& where, const std::optional<Neighbour>& neighbour) {
    Crs crs = crs_from_handle(dataset.GetSpatialRef());
    const std::optional<Box> box = corners_of(dataset);
    if (!crs.given()) {
        throw input_error(where, "no coordinate reference system", "a raster that says where it lies",
                          fmt::format("{}find out which it is and add it: gdal_edit.py -a_srs EPSG:... FILE",
                                      box ? guess_of(*box, neighbour) + ": " : ""));
    }
    if (box) {
        const double cols = std::max(dataset.GetRasterXSize(), dataset.GetRasterYSize());
        require_fitting(*box, crs, std::max(box->x_max - box->x_min, box->y_max - box->y_min) / cols, where);
    }
    return crs;
}

std::int64_t file_row_begin(const RasterLayout& layout, const CellRange& range) {
    return layout.south_up ? layout.grid.rows - range.row_end : range.row_begin;
}

void turn_rows(double* values, std::int64_t count, std::int64_t width) {
    for (std::int64_t top = 0, bottom = count - 1; top < bottom; ++top, --bottom) {
        std::swap_ranges(values + top * width, values + (top + 1) * width, values + bottom * width);
    }
}

}  // namespace eaveshed
