#include "empty_geopackage.hpp"

#include <cpl_conv.h>
#include <cpl_vsi.h>
#include <ogrsf_frmts.h>

#include <fmt/format.h>

#include <memory>
#include <span>
#include <string>

#include "eaveshed/core/error.hpp"
#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/outside/gdal_setup.hpp"
#include "eaveshed/package/geopackage_tables.hpp"

namespace eaveshed {

namespace {

constexpr const char* kTimeOption = "OGR_CURRENT_DATE";

[[noreturn]] void fail(const std::filesystem::path& path, const std::string& what, const std::string& text) {
    throw working_error(path.string(), what + (text.empty() ? "" : ": " + text), "",
                        "check that the folder may be written to and has room");
}

OGRwkbGeometryType geometry_type(LayerShape shape) {
    switch (shape) {
        case LayerShape::multipolygon: return wkbMultiPolygon;
        case LayerShape::point_z: return wkbPoint25D;
        case LayerShape::line_z: return wkbLineString25D;
        case LayerShape::line: return wkbLineString;
        case LayerShape::none: break;
    }
    return wkbNone;
}

void set_type(OGRFieldDefn& field, ColumnType type) {
    switch (type) {
        case ColumnType::real: field.SetType(OFTReal); break;
        case ColumnType::integer: field.SetType(OFTInteger64); break;
        case ColumnType::boolean:
            field.SetType(OFTInteger);
            field.SetSubType(OFSTBoolean);
            break;
        case ColumnType::text: break;
    }
}

// The times that GDAL writes come from this option: the same for equal runs.
class FixedTime {
public:
    explicit FixedTime(const std::string& timestamp) { CPLSetConfigOption(kTimeOption, timestamp.c_str()); }
    ~FixedTime() { CPLSetConfigOption(kTimeOption, nullptr); }
    FixedTime(const FixedTime&) = delete;
    FixedTime& operator=(const FixedTime&) = delete;
};

void create_layer(GDALDataset& dataset, const LayerSpec& layer, const Crs& crs) {
    CPLStringList options;
    options.SetNameValue("GEOMETRY_NAME", kGeometryColumn);
    options.SetNameValue("FID", kRowKey);
    options.SetNameValue("SPATIAL_INDEX", layer.shape == LayerShape::none ? "NO" : "YES");
    options.SetNameValue("IDENTIFIER", layer.title.c_str());
    options.SetNameValue("DESCRIPTION", layer.meaning.c_str());
    std::unique_ptr<OGRSpatialReference> srs;
    if (layer.shape != LayerShape::none && crs.given()) {
        srs.reset(gdal_handle(crs)->Clone());
    }
    OGRLayer* const created =
        dataset.CreateLayer(layer.name.c_str(), srs.get(), geometry_type(layer.shape), options.List());
    for (const LayerColumn& column : layer.columns) {
        if (created == nullptr) {
            return;  // the caller sees the failure that GDAL reported
        }
        OGRFieldDefn field(column.name.c_str(), OFTString);
        set_type(field, column.type);
        created->CreateField(&field);
    }
}

// A file in GDAL's memory, gone with the object.
class MemoryFile {
public:
    explicit MemoryFile(const void* owner) : m_name(fmt::format("/vsimem/eaveshed-{}.gpkg", owner)) {}
    ~MemoryFile() { VSIUnlink(m_name.c_str()); }
    MemoryFile(const MemoryFile&) = delete;
    MemoryFile& operator=(const MemoryFile&) = delete;
    [[nodiscard]] const char* name() const { return m_name.c_str(); }
    [[nodiscard]] std::span<const unsigned char> bytes() const {
        vsi_l_offset size = 0;
        const GByte* const begin = VSIGetMemFileBuffer(m_name.c_str(), &size, FALSE);
        return {begin, begin == nullptr ? 0 : static_cast<std::size_t>(size)};
    }

private:
    std::string m_name;
};

}  // namespace

std::vector<unsigned char> empty_geopackage(const std::filesystem::path& output, const GeoPackageSpec& spec) {
    GdalSession::start();
    const FixedTime time(spec.timestamp);
    const GdalErrors errors;
    const MemoryFile made(&spec);
    GDALDriver* const driver = GetGDALDriverManager()->GetDriverByName("GPKG");
    if (driver == nullptr) {
        fail(output, "this GDAL has no GeoPackage driver", "");
    }
    CPLStringList options;
    options.SetNameValue("VERSION", "1.3");
    options.SetNameValue("ADD_GPKG_OGR_CONTENTS", "NO");
    DatasetHandle dataset(driver->Create(made.name(), 0, 0, 0, GDT_Unknown, options.List()));
    if (!dataset) {
        fail(output, "the output cannot be created", errors.text());
    }
    for (const LayerSpec& layer : spec.layers) {
        create_layer(*dataset, layer, spec.crs);
    }
    const std::string said = close_dataset(dataset);
    if (errors.failures() > 0 || !said.empty()) {
        fail(output, "the output's layers cannot be created", errors.failures() > 0 ? errors.text() : said);
    }
    const std::span<const unsigned char> bytes = made.bytes();
    return {bytes.begin(), bytes.end()};
}

}  // namespace eaveshed
