#include "eaveshed/package/package_check.hpp"

#include <fmt/format.h>

#include <cmath>
#include <future>

#include "eaveshed/core/error.hpp"
#include "eaveshed/package/geopackage_tables.hpp"
#include "inspection.hpp"

namespace eaveshed {

namespace {

constexpr std::int64_t kApplicationId = 0x47504B47;  // "GPKG" (OGC 12-128r17, requirement 2)
constexpr std::int64_t kUserVersion = 10300;         // 1.3.0

std::string structure_of(const std::filesystem::path& file) {
    Database database(file, DatabaseAccess::read);
    Statement check(database, "PRAGMA integrity_check(1)");
    return check.step() ? check.text(0) : std::string();
}

}  // namespace

// The structure of all pages takes as long as all else together: both at once.
void Inspection::look() {
    std::future<std::string> structure = std::async(std::launch::async, [this] { return structure_of(m_file); });
    look_at_tables();
    want("SQLite's word on its structure", structure.get(), "ok");
}

void Inspection::look_at_tables() {
    look_at_file();
    for (std::size_t i = 0; i < m_spec.layers.size(); ++i) {
        look_at_layer(m_spec.layers[i], m_content.layers.at(i));
    }
    look_at_triggers();
    look_at_words();
    look_at_metadata();
    look_at_relations();
    look_at_styles();
}

void Inspection::look_at_file() {
    want("as the application's id", number("PRAGMA application_id"), kApplicationId);
    want("as the version of the standard", number("PRAGMA user_version"), kUserVersion);
    if (!text("PRAGMA foreign_key_check").empty()) {
        amiss("a row that refers to none", "rows that refer to each other");
    }
    for (const char* const table : {"gpkg_contents", "gpkg_geometry_columns", "gpkg_spatial_ref_sys"}) {
        want_table(table);
    }
}

namespace {

// Names and types as GDAL declares them (OGC 12-128r17, table 1).
std::string declared_type(ColumnType type) {
    switch (type) {
        case ColumnType::real: return "REAL";
        case ColumnType::integer: return "INTEGER";
        case ColumnType::boolean: return "BOOLEAN";
        case ColumnType::text: break;
    }
    return "TEXT";
}

struct GeometryType {
    const char* name;
    int z;  // as gpkg_geometry_columns says it: 0 none, 1 mandatory
};

GeometryType geometry_type_of(LayerShape shape) {
    switch (shape) {
        case LayerShape::multipolygon: return {"MULTIPOLYGON", 0};
        case LayerShape::point_z: return {"POINT", 1};
        case LayerShape::line_z: return {"LINESTRING", 1};
        case LayerShape::line: return {"LINESTRING", 0};
        case LayerShape::none: break;
    }
    internal_error("a table without a geometry among those with one");
}

}  // namespace

void Inspection::look_at_columns(const LayerSpec& layer) {
    std::string wanted = std::string(kRowKey) + " INTEGER";
    if (layer.shape != LayerShape::none) {
        wanted += fmt::format(", {} {}", kGeometryColumn, geometry_type_of(layer.shape).name);
    }
    for (const LayerColumn& column : layer.columns) {
        wanted += fmt::format(", {} {}", column.name, declared_type(column.type));
    }
    want("the columns of " + layer.name,
         text("SELECT group_concat(name || ' ' || type, ', ') FROM pragma_table_info(?)", {layer.name}), wanted);
}

void Inspection::look_at_layer(const LayerSpec& layer, const LayerContent& content) {
    want_table(layer.name);
    look_at_columns(layer);
    const bool plain = layer.shape == LayerShape::none;
    Statement counts(m_database, fmt::format("SELECT COUNT(*), COUNT({}) FROM {}", plain ? "NULL" : kGeometryColumn,
                                             quoted_identifier(layer.name)));
    counts.step();
    want("rows in " + layer.name, counts.integer(0), content.rows);
    want("geometries in " + layer.name, counts.integer(1), content.shapes);
    want("the entry of " + layer.name + " in gpkg_contents",
         text("SELECT data_type || '|' || identifier || '|' || description || '|' || last_change FROM gpkg_contents "
              "WHERE table_name = ?",
              {layer.name}),
         fmt::format("{}|{}|{}|{}", plain ? "attributes" : "features", layer.title, layer.meaning, m_spec.timestamp));
    if (!plain) {
        look_at_geometries(layer, content);
        try {
            look_at_index(layer, content);
        } catch (const Error& error) {
            if (error.fault() == Fault::passing || error.trouble().where == m_output.string()) {
                throw;
            }
            amiss(fmt::format("an index of {} that cannot be read: {}", layer.name, error.trouble().found),
                  "an index that fits its layer");
        }
    }
}

void Inspection::look_at_geometries(const LayerSpec& layer, const LayerContent& content) {
    const GeometryType type = geometry_type_of(layer.shape);
    want("the entry of " + layer.name + " in gpkg_geometry_columns",
         text("SELECT column_name || ' ' || geometry_type_name || ' ' || z || ' ' || m FROM gpkg_geometry_columns "
              "WHERE table_name = ?",
              {layer.name}),
         fmt::format("{} {} {} 0", kGeometryColumn, type.name, type.z));
    want("reference systems of " + layer.name,
         number("SELECT COUNT(*) FROM gpkg_contents c JOIN gpkg_geometry_columns g USING (table_name, srs_id) "
                "JOIN gpkg_spatial_ref_sys s USING (srs_id) WHERE c.table_name = ? AND (? OR s.srs_id > 0)",
                {layer.name, std::int64_t{m_spec.crs.given() ? 0 : 1}}),
         1);
    Statement box(m_database, "SELECT min_x, min_y, max_x, max_y FROM gpkg_contents WHERE table_name = ?");
    box.bind(1, layer.name);
    const bool found = box.step();
    const Box& extent = content.extent;
    const bool equal =
        found && (extent.empty() ? box.is_null(0)
                                 : !box.is_null(0) && box.real(0) == extent.x_min && box.real(1) == extent.y_min &&
                                       box.real(2) == extent.x_max && box.real(3) == extent.y_max);
    if (!equal) {
        amiss("another extent of " + layer.name + " in gpkg_contents", "that of its geometries");
    }
}

namespace {

// An index keeps single precision, widened outward: two steps of it at most.
bool widened(double found, double exact, double outward) {
    const double beyond = (found - exact) * outward;
    return beyond >= 0.0 && beyond <= std::abs(exact) * std::ldexp(1.0, -22);
}

}  // namespace

// Of a layer and an index whose entries were found to be as many as the rows, all with a geometry: numbered from the
// same first to the same last without a gap, they are the same rows. To look each one up would read the layer again.
bool Inspection::numbered_alike(const std::string& table, const std::string& entries, const LayerContent& content) {
    const auto ends = [&](std::string_view key, const std::string& rows) {
        return text(fmt::format("SELECT MIN({0}) || ' ' || (MAX({0}) - MIN({0}) + 1) FROM {1}", key, rows));
    };
    const std::string of_rows = ends(kRowKey, table);
    return content.shapes == content.rows && of_rows == ends("rowid", entries) &&
           of_rows.ends_with(fmt::format(" {}", content.rows));
}

void Inspection::look_at_index(const LayerSpec& layer, const LayerContent& content) {
    const std::string index = fmt::format("rtree_{}_{}", layer.name, kGeometryColumn);
    want_extension(layer.name, "gpkg_rtree_index");
    for (const char* const part : {"", "_node", "_parent", "_rowid"}) {
        want_table(index + part);
    }
    want("SQLite's word on the index of " + layer.name, text("SELECT rtreecheck(?)", {index}), "ok");
    const std::string table = quoted_identifier(layer.name);
    const std::string entries = quoted_identifier(index + "_rowid");
    want("entries in the index of " + layer.name, number("SELECT COUNT(*) FROM " + entries), content.shapes);
    if (content.shapes == 0) {
        return;
    }
    if (!numbered_alike(table, entries, content)) {
        want("geometries of " + layer.name + " that are in its index",
             number(fmt::format("SELECT COUNT(t.{}) FROM {} e CROSS JOIN {} t ON t.{} = e.rowid", kGeometryColumn,
                                entries, table, kRowKey)),
             content.shapes);
    }
    Statement bounds(m_database, "SELECT min(minx), min(miny), max(maxx), max(maxy) FROM " + quoted_identifier(index));
    const Box& extent = content.extent;
    if (!bounds.step() || !widened(bounds.real(0), extent.x_min, -1.0) ||
        !widened(bounds.real(1), extent.y_min, -1.0) || !widened(bounds.real(2), extent.x_max, 1.0) ||
        !widened(bounds.real(3), extent.y_max, 1.0)) {
        amiss("an index of " + layer.name + " with other bounds", "those of its geometries");
    }
}

void require_sound_package(const std::filesystem::path& file, const std::filesystem::path& output,
                           const GeoPackageSpec& spec, const PackageContent& content) {
    try {
        Inspection(file, output, spec, content).look();
    } catch (const Error& error) {
        if (error.fault() == Fault::passing || error.trouble().where == output.string()) {
            throw;
        }
        throw working_error(output.string(), "a finished draft that cannot be read: " + error.trouble().found,
                            "a file as it was written",
                            "nothing was put in place: check the disk of the folder, then run again");
    }
}

}  // namespace eaveshed
