// Small vector files for tests, written by GDAL's own drivers.
#pragma once

#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

#include <gdal_priv.h>
#include <ogrsf_frmts.h>

#include "eaveshed/outside/gdal_setup.hpp"

namespace eaveshed::testing {

struct FieldToWrite {
    std::string name;
    OGRFieldType type = OFTString;
};

struct RowToWrite {
    std::string wkt;  // empty: a feature without geometry
    std::vector<std::optional<std::string>> values = {};
};

struct LayerToWrite {
    std::string name = "buildings";
    OGRwkbGeometryType type = wkbPolygon;
    std::string crs = "EPSG:32610";  // empty: none
    std::vector<FieldToWrite> fields = {};
    std::vector<RowToWrite> rows = {};
    std::vector<std::string> options = {};
};

inline void check_written(bool good, const std::string& what) {
    if (!good) {
        throw std::runtime_error("the test's file could not be written: " + what);
    }
}

inline void write_row(OGRLayer& layer, const RowToWrite& row) {
    OGRFeature feature(layer.GetLayerDefn());
    if (!row.wkt.empty()) {
        OGRGeometry* geometry = nullptr;
        check_written(OGRGeometryFactory::createFromWkt(row.wkt.c_str(), nullptr, &geometry) == OGRERR_NONE, row.wkt);
        feature.SetGeometryDirectly(geometry);
    }
    for (std::size_t i = 0; i < row.values.size(); ++i) {
        if (row.values[i]) {
            feature.SetField(static_cast<int>(i), row.values[i]->c_str());
        } else {
            feature.SetFieldNull(static_cast<int>(i));
        }
    }
    check_written(layer.CreateFeature(&feature) == OGRERR_NONE, row.wkt);
}

inline void write_vector(const std::string& driver, const std::string& path, const std::vector<LayerToWrite>& layers) {
    GdalSession::start();
    GDALDriver* const writer = GetGDALDriverManager()->GetDriverByName(driver.c_str());
    check_written(writer != nullptr, driver);
    const GdalErrors quiet;
    DatasetHandle dataset(writer->Create(path.c_str(), 0, 0, 0, GDT_Unknown, nullptr));
    check_written(dataset != nullptr, path);
    for (const LayerToWrite& spec : layers) {
        OGRSpatialReference srs;
        srs.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
        if (!spec.crs.empty()) {
            check_written(srs.SetFromUserInput(spec.crs.c_str()) == OGRERR_NONE, spec.crs);
        }
        CPLStringList options;
        for (const std::string& option : spec.options) {
            options.AddString(option.c_str());
        }
        OGRLayer* const layer =
            dataset->CreateLayer(spec.name.c_str(), spec.crs.empty() ? nullptr : &srs, spec.type, options.List());
        check_written(layer != nullptr, spec.name + ": " + quiet.text());
        for (const FieldToWrite& field : spec.fields) {
            OGRFieldDefn definition(field.name.c_str(), field.type);
            check_written(layer->CreateField(&definition) == OGRERR_NONE, field.name);
        }
        check_written(layer->StartTransaction() == OGRERR_NONE, spec.name);
        for (const RowToWrite& row : spec.rows) {
            write_row(*layer, row);
        }
        check_written(layer->CommitTransaction() == OGRERR_NONE, spec.name);
    }
    check_written(close_dataset(dataset).empty(), path);
}

// A square of the given side at a corner, as WKT.
inline std::string square_wkt(double x, double y, double side) {
    const auto at = [](double a, double b) { return std::to_string(a) + " " + std::to_string(b); };
    return "POLYGON((" + at(x, y) + "," + at(x + side, y) + "," + at(x + side, y + side) + "," + at(x, y + side) + "," +
           at(x, y) + "))";
}

}  // namespace eaveshed::testing
