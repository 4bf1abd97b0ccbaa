// A GeoTIFF of few bytes that says it holds any number of cells, all of them 0.
#pragma once

#include <array>
#include <string>

#include <gdal_priv.h>
#include <gtest/gtest.h>
#include <ogr_spatialref.h>

#include "eaveshed/outside/gdal_setup.hpp"

namespace eaveshed::testing {

struct SparseRaster {
    int cols = 1;
    int rows = 1;
    int bands = 1;
    int epsg = 4326;
    std::array<double, 6> transform{};
};

inline void write_sparse(const std::string& path, SparseRaster spec) {
    GdalSession::start();
    // Large tiles: the file holds little but a place for each.
    std::array options{const_cast<char*>("SPARSE_OK=TRUE"),  const_cast<char*>("TILED=YES"),
                       const_cast<char*>("BLOCKXSIZE=1024"), const_cast<char*>("BLOCKYSIZE=1024"),
                       const_cast<char*>("BIGTIFF=YES"),     static_cast<char*>(nullptr)};
    const DatasetHandle made(GetGDALDriverManager()->GetDriverByName("GTiff")->Create(
        path.c_str(), spec.cols, spec.rows, spec.bands, GDT_Float32, options.data()));
    ASSERT_NE(made, nullptr);
    made->SetGeoTransform(spec.transform.data());
    OGRSpatialReference srs;
    srs.importFromEPSG(spec.epsg);
    made->SetSpatialRef(&srs);
}

}  // namespace eaveshed::testing
