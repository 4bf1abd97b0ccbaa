#include "raster_writer.hpp"

#include <cpl_string.h>
#include <fmt/format.h>
#include <gdal_priv.h>
#include <ogr_spatialref.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <cmath>
#include <stdexcept>
#include <thread>

#include "portable_math.hpp"

namespace demo {
namespace {

constexpr float kNoElevation = -9999.0F;
constexpr int kTile = 256;
constexpr double kRainCell_m = 1000.0;
constexpr double kElevationStep_m = 0.01;

struct Frame {
    int cols = 0;
    int rows = 0;
    double west_m = 0.0;  // local
    double north_m = 0.0;
    double cell_m = 0.0;
    [[nodiscard]] Point centre(int col, int row) const {
        return {west_m + (col + 0.5) * cell_m, north_m - (row + 0.5) * cell_m};
    }
};

void must(CPLErr code, const std::string& path) {
    if (code >= CE_Failure) {
        throw std::runtime_error(fmt::format("{}: {}", path, CPLGetLastErrorMsg()));
    }
}

GDALDatasetUniquePtr create(const std::string& path, const Frame& frame, int bands, GDALDataType type,
                            const CPLStringList& options) {
    GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("GTiff");
    GDALDatasetUniquePtr file(driver->Create(path.c_str(), frame.cols, frame.rows, bands, type, options.List()));
    if (!file) {
        throw std::runtime_error(fmt::format("{}: {}", path, CPLGetLastErrorMsg()));
    }
    std::array<double, 6> affine = {kOriginX_m + frame.west_m,  frame.cell_m, 0.0,
                                    kOriginY_m + frame.north_m, 0.0,          -frame.cell_m};
    must(file->SetGeoTransform(affine.data()), path);
    OGRSpatialReference crs;
    crs.importFromEPSG(kEpsg);
    must(file->SetSpatialRef(&crs), path);
    return file;
}

void close(GDALDatasetUniquePtr file, const std::string& path) {
    CPLErrorReset();
    file->FlushCache(true);
    file.reset();
    must(CPLGetLastErrorType(), path);
}

// One cell of margin all round, so that every roof lies between four centres.
Frame weather_frame(const BasinPlan& plan) {
    Frame f;
    f.cell_m = kRainCell_m;
    f.cols = static_cast<int>(std::ceil(plan.width_m / f.cell_m)) + 2;
    f.rows = static_cast<int>(std::ceil(plan.height_m / f.cell_m)) + 2;
    f.west_m = (plan.width_m - f.cols * f.cell_m) / 2.0;
    f.north_m = (plan.height_m + f.rows * f.cell_m) / 2.0;
    f.west_m = rounded_to(f.west_m, 1.0);
    f.north_m = rounded_to(f.north_m, 1.0);
    return f;
}

float cell_elevation(Point p, const Terrain& terrain, const std::vector<ElevationHole>& holes) {
    for (const ElevationHole& h : holes) {
        if (length(p - h.centre) < h.radius_m) {
            return kNoElevation;
        }
    }
    return static_cast<float>(rounded_to(terrain.elevation_m(p), kElevationStep_m));
}

void fill_row(const Frame& frame, int row, const Terrain& terrain, const std::vector<ElevationHole>& holes,
              float* out) {
    const double y = frame.centre(0, row).y;
    std::vector<ElevationHole> here;
    for (const ElevationHole& h : holes) {
        if (std::fabs(h.centre.y - y) < h.radius_m) {
            here.push_back(h);
        }
    }
    for (int col = 0; col < frame.cols; ++col) {
        out[col] = cell_elevation(frame.centre(col, row), terrain, here);
    }
}

// Rows are shared out among the processors; each is a function of its place alone, so the order does not matter.
void fill_strip(const Frame& frame, int first_row, int rows, const Terrain& terrain,
                const std::vector<ElevationHole>& holes, float* out) {
    std::atomic<int> next{0};
    const auto work = [&] {
        for (int row = next++; row < rows; row = next++) {
            fill_row(frame, first_row + row, terrain, holes, out + static_cast<std::ptrdiff_t>(row) * frame.cols);
        }
    };
    std::vector<std::jthread> helpers;
    for (unsigned i = 1; i < std::thread::hardware_concurrency(); ++i) {
        helpers.emplace_back(work);
    }
    work();
}

}  // namespace

void write_elevation(const BasinPlan& plan, const Terrain& terrain, const std::vector<ElevationHole>& holes) {
    const std::string path = plan.out_dir + "/dem.tif";
    Frame frame;
    frame.cell_m = plan.cell_m;
    frame.cols = static_cast<int>(std::floor(plan.width_m / plan.cell_m));
    frame.rows = static_cast<int>(std::floor(plan.height_m / plan.cell_m));
    frame.north_m = frame.rows * plan.cell_m;
    CPLStringList options;
    for (const char* option : {"TILED=YES", "BLOCKXSIZE=256", "BLOCKYSIZE=256", "COMPRESS=DEFLATE", "PREDICTOR=3",
                               "ZLEVEL=9", "BIGTIFF=IF_SAFER"}) {
        options.AddString(option);
    }
    auto file = create(path, frame, 1, GDT_Float32, options);
    GDALRasterBand* band = file->GetRasterBand(1);
    must(band->SetNoDataValue(kNoElevation), path);
    must(band->SetUnitType("m"), path);
    band->SetDescription("bare-earth elevation");
    std::vector<float> strip(static_cast<std::size_t>(kTile) * static_cast<std::size_t>(frame.cols));
    for (int row = 0; row < frame.rows; row += kTile) {
        const int rows = std::min(kTile, frame.rows - row);
        fill_strip(frame, row, rows, terrain, holes, strip.data());
        must(band->RasterIO(GF_Write, 0, row, frame.cols, rows, strip.data(), frame.cols, rows, GDT_Float32, 0, 0,
                            nullptr),
             path);
    }
    close(std::move(file), path);
}

void write_rain(const BasinPlan& plan, const Climate& climate) {
    const std::string path = plan.out_dir + "/rain_daily.tif";
    const Frame frame = weather_frame(plan);
    CPLStringList options;
    for (const char* option : {"INTERLEAVE=PIXEL", "COMPRESS=DEFLATE", "PREDICTOR=2", "ZLEVEL=9", "BLOCKYSIZE=1"}) {
        options.AddString(option);
    }
    const int days = climate.day_count();
    auto file = create(path, frame, days, GDT_Int16, options);
    for (int day = 0; day < days; ++day) {
        GDALRasterBand* band = file->GetRasterBand(day + 1);
        band->SetDescription(climate.date_text(day).c_str());
        must(band->SetUnitType("mm"), path);
        must(band->SetScale(0.1), path);
    }
    must(file->GetRasterBand(1)->SetNoDataValue(kMissingRain), path);  // one value holds for all bands of a GeoTIFF
    const auto cells = static_cast<std::size_t>(frame.cols);
    std::vector<std::int16_t> line(cells * static_cast<std::size_t>(days));  // day by day, west to east
    for (int row = 0; row < frame.rows; ++row) {
        for (int day = 0; day < days; ++day) {
            for (int col = 0; col < frame.cols; ++col) {
                line[static_cast<std::size_t>(day) * cells + static_cast<std::size_t>(col)] =
                    climate.rain_tenths(frame.centre(col, row), day);
            }
        }
        must(file->RasterIO(GF_Write, 0, row, frame.cols, 1, line.data(), frame.cols, 1, GDT_Int16, days, nullptr, 0, 0,
                            0, nullptr),
             path);
    }
    close(std::move(file), path);
}

void write_evapotranspiration(const BasinPlan& plan, const Climate& climate) {
    const std::string path = plan.out_dir + "/et0.tif";
    const Frame frame = weather_frame(plan);
    static constexpr std::array<const char*, 12> kMonths = {"January",   "February", "March",    "April",
                                                            "May",       "June",     "July",     "August",
                                                            "September", "October",  "November", "December"};
    CPLStringList options;
    for (const char* option : {"COMPRESS=DEFLATE", "PREDICTOR=3", "ZLEVEL=9"}) {
        options.AddString(option);
    }
    auto file = create(path, frame, 12, GDT_Float32, options);
    for (int month = 1; month <= 12; ++month) {
        GDALRasterBand* band = file->GetRasterBand(month);
        band->SetDescription(kMonths[static_cast<std::size_t>(month) - 1]);
        must(band->SetUnitType("mm day-1"), path);
        std::vector<float> values;
        for (int row = 0; row < frame.rows; ++row) {
            for (int col = 0; col < frame.cols; ++col) {
                values.push_back(static_cast<float>(climate.et0_mm_day(frame.centre(col, row), month)));
            }
        }
        must(band->RasterIO(GF_Write, 0, 0, frame.cols, frame.rows, values.data(), frame.cols, frame.rows, GDT_Float32,
                            0, 0, nullptr),
             path);
    }
    must(file->GetRasterBand(1)->SetNoDataValue(kNoElevation), path);
    close(std::move(file), path);
}

}  // namespace demo
