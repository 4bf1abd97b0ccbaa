#include "eaveshed/package/geopackage_tables.hpp"

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

// Definitions as printed in the standard (OGC 12-128r17, tables 40, 41, 34, 35 and 10 and annex C).
constexpr const char* kExtensionsTable =
    "CREATE TABLE IF NOT EXISTS gpkg_extensions (table_name TEXT, column_name TEXT, extension_name TEXT NOT NULL, "
    "definition TEXT NOT NULL, scope TEXT NOT NULL, "
    "CONSTRAINT ge_tce UNIQUE (table_name, column_name, extension_name))";
constexpr const char* kDataColumnsTable =
    "CREATE TABLE gpkg_data_columns (table_name TEXT NOT NULL, column_name TEXT NOT NULL, name TEXT, title TEXT, "
    "description TEXT, mime_type TEXT, constraint_name TEXT, "
    "CONSTRAINT pk_gdc PRIMARY KEY (table_name, column_name), CONSTRAINT gdc_tn UNIQUE (table_name, name))";
constexpr const char* kConstraintsTable =
    "CREATE TABLE gpkg_data_column_constraints (constraint_name TEXT NOT NULL, constraint_type TEXT NOT NULL, "
    "value TEXT, min NUMERIC, min_is_inclusive BOOLEAN, max NUMERIC, max_is_inclusive BOOLEAN, description TEXT, "
    "CONSTRAINT gdcc_ntv UNIQUE (constraint_name, constraint_type, value))";
constexpr const char* kMetadataTable =
    "CREATE TABLE gpkg_metadata (id INTEGER CONSTRAINT m_pk PRIMARY KEY ASC NOT NULL, "
    "md_scope TEXT NOT NULL DEFAULT 'dataset', md_standard_uri TEXT NOT NULL, "
    "mime_type TEXT NOT NULL DEFAULT 'text/xml', metadata TEXT NOT NULL DEFAULT '')";
constexpr const char* kMetadataReferenceTable =
    "CREATE TABLE gpkg_metadata_reference (reference_scope TEXT NOT NULL, table_name TEXT, column_name TEXT, "
    "row_id_value INTEGER, timestamp DATETIME NOT NULL DEFAULT (strftime('%Y-%m-%dT%H:%M:%fZ','now')), "
    "md_file_id INTEGER NOT NULL, md_parent_id INTEGER, "
    "CONSTRAINT crmr_mfi_fk FOREIGN KEY (md_file_id) REFERENCES gpkg_metadata(id), "
    "CONSTRAINT crmr_mpi_fk FOREIGN KEY (md_parent_id) REFERENCES gpkg_metadata(id))";
constexpr const char* kStylesTable =
    "CREATE TABLE layer_styles (id INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL, f_table_catalog TEXT(256), "
    "f_table_schema TEXT(256), f_table_name TEXT(256), f_geometry_column TEXT(256), styleName TEXT(30), styleQML TEXT, "
    "styleSLD TEXT, useAsDefault BOOLEAN, description TEXT, owner TEXT(30), ui TEXT(30), update_time DATETIME)";
// Definition as printed in OGC 18-000, table 2 and annex.
constexpr const char* kRelationsTable =
    "CREATE TABLE gpkgext_relations (id INTEGER PRIMARY KEY AUTOINCREMENT, base_table_name TEXT NOT NULL, "
    "base_primary_column TEXT NOT NULL DEFAULT 'id', related_table_name TEXT NOT NULL, "
    "related_primary_column TEXT NOT NULL DEFAULT 'id', relation_name TEXT NOT NULL, "
    "mapping_table_name TEXT NOT NULL UNIQUE)";
constexpr const char* kRelationsDefinition = "http://www.geopackage.org/18-000.html";
constexpr const char* kSchemaDefinition = "http://www.geopackage.org/spec121/#extension_schema";
constexpr const char* kMetadataDefinition = "http://www.geopackage.org/spec121/#extension_metadata";

void register_extension(Database& database, const char* table, const char* extension, const char* definition) {
    database.run(kExtensionsTable);
    Statement insert(database, "INSERT INTO gpkg_extensions VALUES (?, NULL, ?, ?, 'read-write')");
    insert.bind(1, std::string(table));
    insert.bind(2, std::string(extension));
    insert.bind(3, std::string(definition));
    insert.run();
}

Value or_null(const std::string& text) {
    return text.empty() ? Value() : Value(text);
}

}  // namespace

std::string title_with_unit(const LayerColumn& column) {
    return column.unit.empty() || column.unit == "1" ? column.title : column.title + " (" + column.unit + ")";
}

std::int32_t srs_id_of(Database& database, const std::string& layer) {
    Statement query(database, "SELECT srs_id FROM gpkg_geometry_columns WHERE table_name = ?");
    query.bind(1, layer);
    return query.step() ? static_cast<std::int32_t>(query.integer(0)) : 0;
}

void write_extent(Database& database, const std::string& layer, const Box& extent) {
    if (extent.empty()) {
        return;
    }
    Statement update(database,
                     "UPDATE gpkg_contents SET min_x = ?, min_y = ?, max_x = ?, max_y = ? WHERE table_name = ?");
    update.bind(1, extent.x_min);
    update.bind(2, extent.y_min);
    update.bind(3, extent.x_max);
    update.bind(4, extent.y_max);
    update.bind(5, layer);
    update.run();
}

void write_schema(Database& database, const GeoPackageSpec& spec) {
    database.run(kDataColumnsTable);
    database.run(kConstraintsTable);
    register_extension(database, "gpkg_data_columns", "gpkg_schema", kSchemaDefinition);
    register_extension(database, "gpkg_data_column_constraints", "gpkg_schema", kSchemaDefinition);
    Statement column_row(database, "INSERT INTO gpkg_data_columns VALUES (?, ?, ?, ?, ?, NULL, ?)");
    for (const LayerSpec& layer : spec.layers) {
        for (const LayerColumn& column : layer.columns) {
            column_row.bind(1, layer.name);
            column_row.bind(2, column.name);
            column_row.bind(3, column.name);
            column_row.bind(4, title_with_unit(column));
            column_row.bind(5, column.meaning);
            column_row.bind(6, or_null(column.closed_list));
            column_row.run();
        }
    }
    Statement term_row(database,
                       "INSERT INTO gpkg_data_column_constraints VALUES (?, 'enum', ?, NULL, NULL, NULL, NULL, ?)");
    for (const ClosedList& list : spec.closed_lists) {
        for (const Term& term : list.terms) {
            term_row.bind(1, std::string(list.name));
            term_row.bind(2, std::string(term.name));
            term_row.bind(3, std::string(term.meaning));
            term_row.run();
        }
    }
}

void write_metadata(Database& database, const std::vector<std::string>& texts, const std::string& timestamp) {
    if (texts.empty()) {
        return;
    }
    database.run(kMetadataTable);
    database.run(kMetadataReferenceTable);
    register_extension(database, "gpkg_metadata", "gpkg_metadata", kMetadataDefinition);
    register_extension(database, "gpkg_metadata_reference", "gpkg_metadata", kMetadataDefinition);
    Statement metadata(database, "INSERT INTO gpkg_metadata VALUES (?, 'dataset', ?, 'text/plain', ?)");
    Statement reference(database,
                        "INSERT INTO gpkg_metadata_reference VALUES ('geopackage', NULL, NULL, NULL, ?, ?, NULL)");
    for (std::size_t i = 0; i < texts.size(); ++i) {
        const auto id = static_cast<std::int64_t>(i + 1);
        metadata.bind(1, id);
        metadata.bind(2, std::string("urn:eaveshed:run-record"));
        metadata.bind(3, texts[i]);
        metadata.run();
        reference.bind(1, timestamp);
        reference.bind(2, id);
        reference.run();
    }
}

namespace {

const LayerSpec& layer_of(const GeoPackageSpec& spec, const std::string& name) {
    for (const LayerSpec& layer : spec.layers) {
        if (layer.name == name) {
            return layer;
        }
    }
    internal_error("a relation of a layer that is not written: " + name);
}

}  // namespace

std::string mapping_table(const LayerRelation& relation) {
    return relation.base + "_" + relation.related;
}

std::vector<std::int64_t> write_relations(Database& database, const GeoPackageSpec& spec, const RelationRows& rows) {
    std::vector<std::int64_t> pairs;
    if (spec.relations.empty()) {
        return pairs;
    }
    database.run(kRelationsTable);
    register_extension(database, "gpkgext_relations", "gpkg_related_tables", kRelationsDefinition);
    Statement row(database, "INSERT INTO gpkgext_relations VALUES (NULL, ?, ?, ?, ?, ?, ?)");
    for (std::size_t i = 0; i < spec.relations.size(); ++i) {
        const LayerRelation& relation = spec.relations[i];
        const std::string mapping = mapping_table(relation);
        database.run("CREATE TABLE " + quoted_identifier(mapping) +
                     " (base_id INTEGER NOT NULL, related_id INTEGER NOT NULL)");
        pairs.push_back(rows.write(database, i, mapping));
        register_extension(database, mapping.c_str(), "gpkg_related_tables", kRelationsDefinition);
        const bool plain = layer_of(spec, relation.related).shape == LayerShape::none;
        row.bind(1, layer_of(spec, relation.base).name);
        row.bind(2, std::string(kRowKey));
        row.bind(3, relation.related);
        row.bind(4, std::string(kRowKey));
        row.bind(5, std::string(plain ? "attributes" : "features"));
        row.bind(6, mapping);
        row.run();
    }
    return pairs;
}

void write_styles(Database& database, const GeoPackageSpec& spec) {
    database.run(kStylesTable);
    Statement contents(
        database,
        "INSERT INTO gpkg_contents (table_name, data_type, identifier, description, last_change, srs_id) "
        "VALUES ('layer_styles', 'attributes', 'layer_styles', 'How viewers draw the layers.', ?, 0)");
    contents.bind(1, spec.timestamp);
    contents.run();
    // Viewers find a style only when catalog and schema are empty texts and not null; so is the geometry column of a
    // table without one.
    Statement row(database,
                  "INSERT INTO layer_styles (f_table_catalog, f_table_schema, f_table_name, f_geometry_column, "
                  "styleName, styleQML, styleSLD, useAsDefault, description, owner, ui, update_time) "
                  "VALUES ('', '', ?, ?, ?, ?, ?, 1, ?, '', NULL, ?)");
    for (const LayerSpec& layer : spec.layers) {
        if (!layer.style) {
            continue;
        }
        row.bind(1, layer.name);
        row.bind(2, layer.shape == LayerShape::none ? std::string() : std::string(kGeometryColumn));
        row.bind(3, layer.style->name);
        row.bind(4, layer.style->qml);
        row.bind(5, layer.style->sld);
        row.bind(6, layer.style->description);
        row.bind(7, spec.timestamp);
        row.run();
    }
}

}  // namespace eaveshed
