#include "eaveshed/raster/label_outlines.hpp"

#include <cpl_string.h>
#include <gdal_alg.h>
#include <gdal_priv.h>
#include <ogrsf_frmts.h>

#include <array>

#include "eaveshed/core/error.hpp"
#include "eaveshed/outside/gdal_setup.hpp"

namespace eaveshed {

namespace {

static_assert(sizeof(std::int32_t) == sizeof(std::uint32_t));

// The labels as a band over the memory that they are in, to be read alone.
DatasetHandle band_over(std::span<const std::uint32_t> labels, const Grid& grid) {
    GDALDriver* const driver = GetGDALDriverManager()->GetDriverByName("MEM");
    DatasetHandle dataset(
        driver->Create("", static_cast<int>(grid.cols), static_cast<int>(grid.rows), 0, GDT_Int32, nullptr));
    std::array<char, 64> address{};
    address.at(static_cast<std::size_t>(CPLPrintPointer(address.data(), const_cast<std::uint32_t*>(labels.data()),
                                                        static_cast<int>(address.size()) - 1))) = '\0';
    CPLStringList options;
    options.SetNameValue("DATAPOINTER", address.data());
    if (dataset == nullptr || dataset->AddBand(GDT_Int32, options.List()) != CE_None) {
        internal_error("labels that GDAL does not take");
    }
    std::array<double, 6> transform{grid.x_min, grid.cell_width, 0.0, grid.y_max, 0.0, -grid.cell_height};
    dataset->SetGeoTransform(transform.data());
    return dataset;
}

Ring ring_of(const OGRLinearRing& ring) {
    Ring points;
    points.reserve(static_cast<std::size_t>(ring.getNumPoints()));
    for (int i = 0; i < ring.getNumPoints(); ++i) {
        points.push_back({ring.getX(i), ring.getY(i)});
    }
    return points;
}

Polygon polygon_of(const OGRPolygon& shape) {
    Polygon polygon;
    polygon.outer = ring_of(*shape.getExteriorRing());
    for (int i = 0; i < shape.getNumInteriorRings(); ++i) {
        polygon.holes.push_back(ring_of(*shape.getInteriorRing(i)));
    }
    return polygon;
}

}  // namespace

std::vector<MultiPolygon> label_outlines(std::span<const std::uint32_t> labels, const Grid& grid, std::size_t count,
                                         const std::string& where, const std::string& remedy) {
    if (static_cast<std::int64_t>(labels.size()) != grid.rows * grid.cols) {
        internal_error("labels of another grid");
    }
    GdalSession::start();
    const GdalErrors errors;
    const DatasetHandle cells = band_over(labels, grid);
    const DatasetHandle shapes(
        GetGDALDriverManager()->GetDriverByName("Memory")->Create("", 0, 0, 0, GDT_Unknown, nullptr));
    OGRLayer* const layer = shapes != nullptr ? shapes->CreateLayer("outlines", nullptr, wkbPolygon, nullptr) : nullptr;
    OGRFieldDefn field("label", OFTInteger);
    if (layer == nullptr || layer->CreateField(&field) != OGRERR_NONE ||
        GDALPolygonize(cells->GetRasterBand(1), nullptr, OGRLayer::ToHandle(layer), 0, nullptr, nullptr, nullptr) !=
            CE_None) {
        throw working_error(where, "outlines that could not be drawn: " + errors.text(), "memory for them", remedy);
    }
    std::vector<MultiPolygon> outlines(count);
    for (const auto& feature : *layer) {
        const auto label = static_cast<std::uint32_t>(feature->GetFieldAsInteger(0));
        if (label < count) {
            outlines[label].parts.push_back(polygon_of(*feature->GetGeometryRef()->toPolygon()));
        }
    }
    return outlines;
}

}  // namespace eaveshed
