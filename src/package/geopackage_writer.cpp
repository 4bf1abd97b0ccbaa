#include "eaveshed/package/geopackage_writer.hpp"

#include <cpl_conv.h>
#include <ogrsf_frmts.h>
#include <unistd.h>

#include <memory>
#include <utility>

#include "eaveshed/core/error.hpp"
#include "eaveshed/files/file.hpp"
#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/outside/gdal_setup.hpp"
#include "eaveshed/outside/sqlite.hpp"
#include "eaveshed/package/geopackage_geometry.hpp"
#include "eaveshed/package/geopackage_tables.hpp"
#include "eaveshed/package/packed_index.hpp"

namespace eaveshed {

namespace {

constexpr const char* kGeometryColumn = "geom";
constexpr const char* kRowKey = "fid";
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

std::filesystem::path draft_of(const std::filesystem::path& output, const std::filesystem::path& build_in) {
    return (build_in.empty() ? output.parent_path() : build_in) /
           ("." + output.stem().string() + ".part-" + std::to_string(::getpid()) + ".gpkg");
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

}  // namespace

struct GeoPackageWriter::Impl {
    Impl(std::filesystem::path output_, GeoPackageSpec spec_)
        : output(std::move(output_)), draft(draft_of(output, spec_.build_in)), spec(std::move(spec_)) {}
    ~Impl();

    void create_layers();
    void prepare_inserts();
    void insert(std::size_t layer, std::span<const unsigned char> geometry, std::span<const Value> values);
    void put_triggers_aside();
    void index_layer(std::size_t layer);
    void index_layers();

    std::filesystem::path output;
    std::filesystem::path draft;
    GeoPackageSpec spec;
    std::unique_ptr<Database> database;
    std::vector<Statement> inserts;
    std::vector<Box> extents;
    std::vector<PackedIndex> indexes;
    std::vector<std::int64_t> row_counts;
    std::vector<bool> complete;         // no row comes any more
    std::vector<std::string> triggers;  // that keep an index in step with its layer
    std::vector<std::int32_t> srs_ids;
    std::vector<std::string> metadata;
};

GeoPackageWriter::Impl::~Impl() {
    inserts.clear();
    database.reset();
    std::error_code ignored;
    std::filesystem::remove(draft, ignored);
    std::filesystem::remove(draft.string() + "-journal", ignored);
}

void GeoPackageWriter::Impl::create_layers() {
    GdalSession::start();
    const FixedTime time(spec.timestamp);
    const GdalErrors errors;
    GDALDriver* const driver = GetGDALDriverManager()->GetDriverByName("GPKG");
    if (driver == nullptr) {
        fail(output, "this GDAL has no GeoPackage driver", "");
    }
    CPLStringList options;
    options.SetNameValue("VERSION", "1.3");
    options.SetNameValue("ADD_GPKG_OGR_CONTENTS", "NO");
    DatasetHandle dataset(driver->Create(draft.c_str(), 0, 0, 0, GDT_Unknown, options.List()));
    if (!dataset) {
        fail(output, "the output cannot be created", errors.text());
    }
    for (const LayerSpec& layer : spec.layers) {
        create_layer(*dataset, layer, spec.crs);
    }
    static_cast<void>(close_dataset(dataset));
    if (errors.failures() > 0) {
        fail(output, "the output's layers cannot be created", errors.text());
    }
}

void GeoPackageWriter::Impl::prepare_inserts() {
    database = std::make_unique<Database>(draft);
    // The draft is worth nothing after a crash, so nothing is gained by syncing before it is complete.
    database->run("PRAGMA synchronous = OFF; PRAGMA journal_mode = MEMORY; BEGIN");
    database->allow_shadow_tables();
    put_triggers_aside();
    for (const LayerSpec& layer : spec.layers) {
        std::string columns = layer.shape == LayerShape::none ? "" : quoted_identifier(kGeometryColumn);
        std::string marks = layer.shape == LayerShape::none ? "" : "?";
        for (const LayerColumn& column : layer.columns) {
            columns += (columns.empty() ? "" : ", ") + quoted_identifier(column.name);
            marks += marks.empty() ? "?" : ", ?";
        }
        inserts.emplace_back(
            *database, "INSERT INTO " + quoted_identifier(layer.name) + " (" + columns + ") VALUES (" + marks + ")");
        srs_ids.push_back(layer.shape == LayerShape::none ? 0 : srs_id_of(*database, layer.name));
        extents.emplace_back();
        indexes.emplace_back();
        row_counts.push_back(0);
        complete.push_back(false);
    }
}

// The index is written at once at the end; the triggers, which are for later editors, come back after it.
void GeoPackageWriter::Impl::put_triggers_aside() {
    std::vector<std::string> names;
    {
        Statement found(*database, "SELECT name, sql FROM sqlite_master WHERE type = 'trigger' ORDER BY rowid");
        while (found.step()) {
            names.push_back(found.text(0));
            triggers.push_back(found.text(1));
        }
    }
    for (const std::string& name : names) {
        database->run("DROP TRIGGER " + quoted_identifier(name));
    }
}

void GeoPackageWriter::Impl::insert(std::size_t layer, std::span<const unsigned char> geometry,
                                    std::span<const Value> values) {
    Statement& statement = inserts.at(layer);
    int position = 1;
    if (spec.layers[layer].shape != LayerShape::none) {
        if (geometry.empty()) {
            statement.bind(position, Value());
        } else {
            statement.bind_blob(position, geometry);
        }
        ++position;
    }
    if (values.size() != spec.layers[layer].columns.size()) {
        internal_error("a row with another number of values than its layer has columns");
    }
    for (const Value& value : values) {
        statement.bind_uncopied(position, value);
        ++position;
    }
    statement.run();
    ++row_counts[layer];
}

void GeoPackageWriter::Impl::index_layer(std::size_t layer) {
    if (spec.layers[layer].shape != LayerShape::none) {
        indexes[layer].write(*database, "rtree_" + spec.layers[layer].name + "_" + kGeometryColumn);
    }
}

void GeoPackageWriter::Impl::index_layers() {
    for (std::size_t i = 0; i < spec.layers.size(); ++i) {
        if (!complete[i]) {
            index_layer(i);
        }
    }
    for (const std::string& trigger : triggers) {
        database->run(trigger);
    }
}

GeoPackageWriter::GeoPackageWriter(const std::filesystem::path& output, GeoPackageSpec spec)
    : m_impl(std::make_unique<Impl>(output, std::move(spec))) {
    m_impl->create_layers();
    m_impl->prepare_inserts();
}

GeoPackageWriter::~GeoPackageWriter() = default;

LayerRow GeoPackageWriter::made(std::size_t layer, std::vector<Value> values) const {
    return {layer, {}, {}, std::move(values)};
}

LayerRow GeoPackageWriter::made(std::size_t layer, const MultiPolygon& outline, std::vector<Value> values) const {
    if (outline.empty()) {
        return made(layer, std::move(values));
    }
    return {layer, geopackage_geometry(outline, m_impl->srs_ids[layer]), bounds(outline), std::move(values)};
}

LayerRow GeoPackageWriter::made(std::size_t layer, Point place, double z, std::vector<Value> values) const {
    return {layer,
            geopackage_geometry(place, z, m_impl->srs_ids[layer]),
            {place.x, place.y, place.x, place.y},
            std::move(values)};
}

LayerRow GeoPackageWriter::made(std::size_t layer, const Segment& line, double z_from, double z_to,
                                std::vector<Value> values) const {
    return {layer, geopackage_geometry(line, z_from, z_to, m_impl->srs_ids[layer]), bounds(line), std::move(values)};
}

LayerRow GeoPackageWriter::made(std::size_t layer, const Line& line, std::vector<Value> values) const {
    return {layer, geopackage_geometry(line, m_impl->srs_ids[layer]), bounds(line), std::move(values)};
}

void GeoPackageWriter::add(const LayerRow& row) {
    if (m_impl->complete[row.layer]) {
        internal_error("a row for a layer that was complete");
    }
    m_impl->insert(row.layer, row.geometry, row.values);
    if (!row.geometry.empty()) {
        m_impl->extents[row.layer].add(row.box);
        m_impl->indexes[row.layer].add(m_impl->row_counts[row.layer], row.box);
    }
}

void GeoPackageWriter::add(std::size_t layer, std::span<const Value> values) {
    add(made(layer, {values.begin(), values.end()}));
}

void GeoPackageWriter::add(std::size_t layer, const MultiPolygon& outline, std::span<const Value> values) {
    add(made(layer, outline, {values.begin(), values.end()}));
}

void GeoPackageWriter::add(std::size_t layer, Point place, double z, std::span<const Value> values) {
    add(made(layer, place, z, {values.begin(), values.end()}));
}

void GeoPackageWriter::complete(std::size_t layer) {
    m_impl->index_layer(layer);
    m_impl->complete[layer] = true;
}

void GeoPackageWriter::add_metadata(const std::string& text) {
    m_impl->metadata.push_back(text);
}

void GeoPackageWriter::finish() {
    Impl& self = *m_impl;
    self.inserts.clear();
    for (std::size_t i = 0; i < self.spec.layers.size(); ++i) {
        write_extent(*self.database, self.spec.layers[i].name, self.extents[i]);
    }
    write_schema(*self.database, self.spec);
    write_metadata(*self.database, self.metadata, self.spec.timestamp);
    write_relations(*self.database, self.spec, kRowKey);
    write_styles(*self.database, self.spec, kGeometryColumn);
    self.index_layers();
    self.database->run("COMMIT");
    self.database->close();
    self.database.reset();
    publish(self.draft, self.output);
}

}  // namespace eaveshed
