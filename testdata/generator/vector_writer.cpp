#include "vector_writer.hpp"

#include <cpl_string.h>
#include <fmt/format.h>
#include <ogrsf_frmts.h>

#include <initializer_list>
#include <optional>
#include <stdexcept>

namespace demo {
namespace {

struct Column {
    const char* name;
    OGRFieldType type;
};

// One GeoPackage with one layer, open for writing.
class LayerFile {
public:
    LayerFile(const BasinPlan& plan, const char* file, const char* layer, const char* title, OGRwkbGeometryType type,
              std::initializer_list<Column> columns)
        : m_path(plan.out_dir + "/" + file) {
        VSIUnlink(m_path.c_str());
        CPLStringList version;
        version.SetNameValue("VERSION", "1.3");
        GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("GPKG");
        m_file.reset(driver->Create(m_path.c_str(), 0, 0, 0, GDT_Unknown, version.List()));
        if (!m_file) {
            fail();
        }
        OGRSpatialReference crs;
        crs.importFromEPSG(kEpsg);
        CPLStringList options;
        options.SetNameValue("IDENTIFIER", layer);
        options.SetNameValue("DESCRIPTION", title);
        m_layer = m_file->CreateLayer(layer, &crs, type, options.List());
        if (m_layer == nullptr) {
            fail();
        }
        for (const Column& column : columns) {
            OGRFieldDefn field(column.name, column.type);
            if (m_layer->CreateField(&field) != OGRERR_NONE) {
                fail();
            }
        }
        m_file->StartTransaction();
        begin_row();
    }

    void set(const char* column, const std::string& value) { m_row->SetField(column, value.c_str()); }
    void set(const char* column, double value) { m_row->SetField(column, value); }
    void set(const char* column, int value) { m_row->SetField(column, value); }
    template <class T>
    void set(const char* column, const std::optional<T>& value) {
        if (value) {
            set(column, *value);
        }
    }

    void add(const OGRGeometry& geometry) {
        if (!geometry.IsEmpty()) {
            m_row->SetGeometry(&geometry);  // an empty one is left out: null
        }
        if (m_layer->CreateFeature(m_row.get()) != OGRERR_NONE) {
            fail();
        }
        begin_row();
    }

    void close() {
        if (m_file->CommitTransaction() != OGRERR_NONE) {
            fail();
        }
        CPLErrorReset();
        m_file.reset();
        if (CPLGetLastErrorType() >= CE_Failure) {
            fail();
        }
    }

private:
    void begin_row() { m_row.reset(OGRFeature::CreateFeature(m_layer->GetLayerDefn())); }
    [[noreturn]] void fail() const { throw std::runtime_error(fmt::format("{}: {}", m_path, CPLGetLastErrorMsg())); }

    std::string m_path;
    GDALDatasetUniquePtr m_file;
    OGRLayer* m_layer = nullptr;
    OGRFeatureUniquePtr m_row;
};

OGRLinearRing closed(const Ring& ring) {
    OGRLinearRing out;
    for (Point p : ring) {
        out.addPoint(kOriginX_m + p.x, kOriginY_m + p.y);
    }
    out.closeRings();
    return out;
}

OGRPolygon to_ogr(const Polygon& polygon) {
    OGRPolygon out;
    if (polygon.outer.empty()) {
        return out;
    }
    OGRLinearRing outer = closed(polygon.outer);
    out.addRing(&outer);
    for (const Ring& hole : polygon.holes) {
        OGRLinearRing ring = closed(hole);
        out.addRing(&ring);
    }
    return out;
}

OGRLineString to_ogr(const Line& line) {
    OGRLineString out;
    for (Point p : line) {
        out.addPoint(kOriginX_m + p.x, kOriginY_m + p.y);
    }
    return out;
}

}  // namespace

void write_buildings(const BasinPlan& plan, const std::vector<Building>& buildings) {
    LayerFile file(plan, "buildings.gpkg", "buildings", "Invented building footprints (roof outlines)", wkbPolygon,
                   {{"bldg_id", OFTString},
                    {"use", OFTString},
                    {"roof_mat", OFTString},
                    {"floors", OFTInteger},
                    {"eave_h_m", OFTReal},
                    {"gutter_share", OFTReal},
                    {"apn", OFTString}});
    int number = 0;
    for (const Building& b : buildings) {
        file.set("bldg_id", fmt::format("B{:05}", ++number));
        file.set("use", b.use);
        if (!b.null_material) {
            file.set("roof_mat", b.material);
        }
        file.set("floors", b.floors);
        file.set("eave_h_m", b.eave_height_m);
        file.set("gutter_share", b.connected_share);
        file.set("apn", b.parcel_text);
        file.add(to_ogr(b.footprint));
    }
    file.close();
}

void write_parcels(const BasinPlan& plan, const std::vector<Parcel>& parcels) {
    LayerFile file(plan, "parcels.gpkg", "parcels", "Invented parcels, owners and water use", wkbMultiPolygon,
                   {{"apn", OFTString},
                    {"owner", OFTString},
                    {"phone", OFTString},
                    {"owner_key", OFTString},
                    {"people", OFTReal},
                    {"irrigated_m2", OFTReal},
                    {"season_use_m3", OFTReal},
                    {"source", OFTString},
                    {"pump_lps", OFTReal},
                    {"tank_m3", OFTReal},
                    {"status", OFTString},
                    {"stream_m", OFTReal}});
    for (const Parcel& p : parcels) {
        const Owner owner = make_owner(plan, p.owner);
        file.set("apn", p.apn);
        file.set("owner", owner.name);
        file.set("phone", owner.phone);
        file.set("owner_key", owner.key);
        file.set("people", p.people);
        file.set("irrigated_m2", p.irrigated_m2);
        file.set("season_use_m3", p.season_use_m3);
        file.set("source", p.source);
        file.set("pump_lps", p.pump_lps);
        file.set("tank_m3", p.tank_m3);
        file.set("status", p.status);
        file.set("stream_m", p.stream_m);
        OGRMultiPolygon shape;
        for (const Ring& part : p.parts) {
            const OGRPolygon polygon = to_ogr(Polygon{part, {}});
            shape.addGeometry(&polygon);
        }
        file.add(shape);
    }
    file.close();
}

void write_streams(const BasinPlan& plan, const std::vector<Reach>& reaches) {
    LayerFile file(plan, "streams.gpkg", "streams", "Invented stream reaches, digitised downstream", wkbLineString,
                   {{"reach", OFTString}, {"creek", OFTString}, {"low_flow_lps", OFTReal}});
    for (const Reach& r : reaches) {
        file.set("reach", r.id);
        file.set("creek", r.creek);
        file.set("low_flow_lps", r.low_flow_lps);
        file.add(to_ogr(r.line));
    }
    file.close();
}

void write_use_points(const BasinPlan& plan, const std::vector<Tap>& taps) {
    LayerFile file(plan, "use_points.gpkg", "use_points", "Invented garden taps", wkbPoint, {{"apn", OFTString}});
    for (const Tap& t : taps) {
        file.set("apn", t.apn);
        file.add(OGRPoint(kOriginX_m + t.at.x, kOriginY_m + t.at.y));
    }
    file.close();
}

void write_roads(const BasinPlan& plan, const std::vector<Road>& roads) {
    LayerFile file(plan, "roads.gpkg", "roads", "Invented road centre lines", wkbLineString,
                   {{"name", OFTString}, {"kind", OFTString}});
    for (const Road& r : roads) {
        file.set("name", r.name);
        file.set("kind", r.kind);
        file.add(to_ogr(r.line));
    }
    file.close();
}

void write_habitat(const BasinPlan& plan, const std::vector<Polygon>& areas) {
    LayerFile file(plan, "exclusions.gpkg", "habitat", "Invented riparian habitat", wkbPolygon, {{"name", OFTString}});
    int number = 0;
    for (const Polygon& area : areas) {
        file.set("name", fmt::format("riparian wood {}", ++number));
        file.add(to_ogr(area));
    }
    file.close();
}

}  // namespace demo
