#include "eaveshed/package/geopackage_writer.hpp"

#include <algorithm>
#include <iterator>
#include <memory>
#include <utility>

#include "eaveshed/core/error.hpp"
#include "eaveshed/files/file.hpp"
#include "eaveshed/outside/sqlite.hpp"
#include "eaveshed/package/batch_insert.hpp"
#include "eaveshed/package/geopackage_geometry.hpp"
#include "eaveshed/package/geopackage_tables.hpp"
#include "eaveshed/package/package_check.hpp"
#include "eaveshed/package/packed_index.hpp"
#include "eaveshed/package/relation_rows.hpp"
#include "eaveshed/words/safe_output.hpp"
#include "empty_geopackage.hpp"

namespace eaveshed {

namespace {

constexpr const char* kDraftName = "draft.gpkg";

}  // namespace

struct GeoPackageWriter::Impl {
    Impl(std::filesystem::path output_, GeoPackageSpec spec_)
        : output(std::move(output_)), draft(spec_.build_in / kDraftName), spec(std::move(spec_)), relations(spec) {}
    ~Impl();

    void prepare_inserts();
    void see(const RowBatch::Row& row);
    void rest();
    void add(const RowBatch& batch);
    void put_triggers_aside();
    void index_layer(std::size_t layer);
    void index_layers();

    std::filesystem::path output;
    std::filesystem::path draft;
    GeoPackageSpec spec;
    RelationRows relations;
    std::unique_ptr<Database> database;
    std::vector<BatchInsert> inserts;
    std::vector<std::vector<std::size_t>> of_layer;  // positions in the batch at hand
    PackageContent content;
    std::vector<PackedIndex> indexes;
    std::size_t rows_since_rest = 0;
    std::vector<bool> complete;         // no row comes any more
    std::vector<std::string> triggers;  // that keep an index in step with its layer
    std::vector<std::int32_t> srs_ids;
};

GeoPackageWriter::Impl::~Impl() {
    inserts.clear();
    database.reset();
    std::error_code ignored;
    std::filesystem::remove(draft, ignored);
    std::filesystem::remove(draft.string() + "-journal", ignored);
}

void GeoPackageWriter::Impl::prepare_inserts() {
    database = std::make_unique<Database>(draft);
    // The draft is worth nothing after a crash, so nothing is gained by syncing before it is complete.
    database->run("PRAGMA synchronous = OFF; PRAGMA journal_mode = MEMORY; BEGIN");
    database->allow_shadow_tables();
    put_triggers_aside();
    for (std::size_t i = 0; i < spec.layers.size(); ++i) {
        const LayerSpec& layer = spec.layers[i];
        std::vector<std::string> columns;
        std::ranges::transform(layer.columns, std::back_inserter(columns), &LayerColumn::name);
        inserts.emplace_back(*database, i, layer.name, layer.shape == LayerShape::none ? "" : kGeometryColumn, columns);
        of_layer.emplace_back();
        srs_ids.push_back(layer.shape == LayerShape::none ? 0 : srs_id_of(*database, layer.name));
        content.layers.emplace_back();
        indexes.emplace_back(spec.build_in);
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

// What is kept of a row beside its table.
void GeoPackageWriter::Impl::see(const RowBatch::Row& row) {
    if (complete[row.layer]) {
        internal_error("a row for a layer that was complete");
    }
    LayerContent& layer = content.layers[row.layer];
    relations.see(row.layer, ++layer.rows, row.values);
    if (!row.geometry.empty()) {
        ++layer.shapes;
        layer.extent.add(row.box);
        indexes[row.layer].add(layer.rows, row.box);
    }
}

// What is kept of many rows is asked again at the end only.
void GeoPackageWriter::Impl::rest() {
    constexpr std::size_t kRowsBetweenRests = std::size_t{1} << 19U;
    if (rows_since_rest < kRowsBetweenRests) {
        return;
    }
    rows_since_rest = 0;
    relations.rest();
    for (const PackedIndex& index : indexes) {
        index.rest();
    }
}

void GeoPackageWriter::Impl::add(const RowBatch& batch) {
    rows_since_rest += batch.size();
    rest();
    for (std::size_t i = 0; i < batch.size(); ++i) {
        const RowBatch::Row row = batch.row(i);
        see(row);
        of_layer[row.layer].push_back(i);
    }
    for (std::size_t layer = 0; layer < of_layer.size(); ++layer) {
        if (!of_layer[layer].empty()) {
            inserts[layer].run(batch, of_layer[layer]);
            of_layer[layer].clear();
        }
    }
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
    if (m_impl->spec.build_in.empty()) {
        internal_error("a GeoPackage without a folder to be built in");
    }
    File(m_impl->draft, File::Mode::create_new).write_at(0, empty_geopackage(output, m_impl->spec));
    m_impl->prepare_inserts();
}

GeoPackageWriter::~GeoPackageWriter() = default;

void GeoPackageWriter::put(const MultiPolygon& outline, RowBatch& batch) const {
    if (!outline.empty()) {
        batch.put_geometry(geopackage_geometry(outline, m_impl->srs_ids[batch.layer()]), bounds(outline));
    }
}

void GeoPackageWriter::put(Point place, double z, RowBatch& batch) const {
    batch.put_geometry(geopackage_geometry(place, z, m_impl->srs_ids[batch.layer()]),
                       {place.x, place.y, place.x, place.y});
}

void GeoPackageWriter::put(const Segment& line, double z_from, double z_to, RowBatch& batch) const {
    batch.put_geometry(geopackage_geometry(line, z_from, z_to, m_impl->srs_ids[batch.layer()]), bounds(line));
}

void GeoPackageWriter::put(const Line& line, RowBatch& batch) const {
    batch.put_geometry(geopackage_geometry(line, m_impl->srs_ids[batch.layer()]), bounds(line));
}

void GeoPackageWriter::add(const RowBatch& batch) {
    m_impl->add(batch);
}

namespace {

RowBatch batch_of(std::size_t layer, std::span<const Value> values) {
    RowBatch batch;
    batch.begin(layer);
    for (const Value& value : values) {
        batch.put(view_of(value));
    }
    return batch;
}

}  // namespace

void GeoPackageWriter::add(std::size_t layer, std::span<const Value> values) {
    add(batch_of(layer, values));
}

void GeoPackageWriter::add(std::size_t layer, const MultiPolygon& outline, std::span<const Value> values) {
    RowBatch batch = batch_of(layer, values);
    put(outline, batch);
    add(batch);
}

void GeoPackageWriter::add(std::size_t layer, Point place, double z, std::span<const Value> values) {
    RowBatch batch = batch_of(layer, values);
    put(place, z, batch);
    add(batch);
}

void GeoPackageWriter::complete(std::size_t layer) {
    m_impl->index_layer(layer);
    m_impl->complete[layer] = true;
}

void GeoPackageWriter::add_metadata(const std::string& text) {
    m_impl->content.metadata.push_back(without_controls(text));  // for people; run_record has the texts as they are
}

void GeoPackageWriter::finish() {
    Impl& self = *m_impl;
    self.inserts.clear();
    for (std::size_t i = 0; i < self.spec.layers.size(); ++i) {
        write_extent(*self.database, self.spec.layers[i].name, self.content.layers[i].extent);
    }
    write_schema(*self.database, self.spec);
    write_metadata(*self.database, self.content.metadata, self.spec.timestamp);
    self.content.pairs = write_relations(*self.database, self.spec, self.relations);
    write_styles(*self.database, self.spec);
    self.index_layers();
    self.database->run("COMMIT");
    self.database->close();
    self.database.reset();
    require_sound_package(self.draft, self.output, self.spec, self.content);
    publish(self.draft, self.output);
}

}  // namespace eaveshed
