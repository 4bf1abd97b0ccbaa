// The slope beside that of gdaldem, which computes Horn's on the eight neighbours: another program on the same terrain.
#include <gdal_priv.h>
#include <gdal_utils.h>
#include <gtest/gtest.h>

#include <memory>
#include <vector>

#include "eaveshed/terrain/slope.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

struct Closer {
    void operator()(GDALDataset* dataset) const { GDALClose(dataset); }
};
using Dataset = std::unique_ptr<GDALDataset, Closer>;

constexpr int kRows = 40;
constexpr int kCols = 50;
constexpr double kWidth = 1.25;
constexpr double kHeight = 2.0;

Dataset written(std::vector<double>& elevation_m) {
    GDALAllRegister();
    GDALDriver* const driver = GetGDALDriverManager()->GetDriverByName("MEM");
    Dataset dataset(driver->Create("", kCols, kRows, 1, GDT_Float64, nullptr));
    double transform[]{5000.0, kWidth, 0.0, 9000.0, 0.0, -kHeight};
    dataset->SetGeoTransform(transform);
    EXPECT_EQ(dataset->GetRasterBand(1)->RasterIO(GF_Write, 0, 0, kCols, kRows, elevation_m.data(), kCols, kRows,
                                                  GDT_Float64, 0, 0, nullptr),
              CE_None);
    return dataset;
}

std::vector<double> slope_by_gdaldem(std::vector<double>& elevation_m) {
    const Dataset terrain = written(elevation_m);
    char format[] = "-of";
    char mem[] = "MEM";
    char percent[] = "-p";
    char* words[]{format, mem, percent, nullptr};
    GDALDEMProcessingOptions* const options = GDALDEMProcessingOptionsNew(words, nullptr);
    const Dataset slope(GDALDataset::FromHandle(
        GDALDEMProcessing("", GDALDataset::ToHandle(terrain.get()), "slope", nullptr, options, nullptr)));
    GDALDEMProcessingOptionsFree(options);
    std::vector<double> values(elevation_m.size());
    EXPECT_EQ(slope->GetRasterBand(1)->RasterIO(GF_Read, 0, 0, kCols, kRows, values.data(), kCols, kRows, GDT_Float64,
                                                0, 0, nullptr),
              CE_None);
    return values;
}

TEST(HornGradient, AgreesWithGdaldemOnNeighboursOneCellAway) {
    testing::RandomNumbers random(11);
    RasterPatch patch{{0, kRows, 0, kCols}, {}};
    for (int i = 0; i < kRows * kCols; ++i) {
        patch.values.push_back(random.between(0.0, 3.0));
    }
    const std::vector<double> expected = slope_by_gdaldem(patch.values);
    for (std::int64_t row = 1; row + 1 < kRows; ++row) {
        for (std::int64_t col = 1; col + 1 < kCols; ++col) {
            const auto gradient = horn_gradient(patch, row, col, 1, kWidth, kHeight);
            ASSERT_TRUE(gradient);
            const double percent = expected[static_cast<std::size_t>(row * kCols + col)];
            EXPECT_NEAR(gradient->slope() * 100.0, percent, 1e-6 * percent + 1e-5);  // gdaldem writes single precision
        }
    }
}

}  // namespace
}  // namespace eaveshed
