// The tables of a GeoPackage beside its layers: extents, the schema extension (titles, meanings, closed lists), the
// metadata extension, what belongs together, and the styles that viewers read. All are written inside the caller's
// transaction.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/outside/sqlite.hpp"
#include "eaveshed/package/geopackage_writer.hpp"
#include "eaveshed/package/relation_rows.hpp"

namespace eaveshed {

inline constexpr const char* kGeometryColumn = "geom";
inline constexpr const char* kRowKey = "fid";  // the number of a row, in every layer

// "Plan area (m2)".
[[nodiscard]] std::string title_with_unit(const LayerColumn& column);

[[nodiscard]] std::int32_t srs_id_of(Database& database, const std::string& layer);

// Bounds of a layer in gpkg_contents; nothing for an empty box.
void write_extent(Database& database, const std::string& layer, const Box& extent);

// gpkg_data_columns and gpkg_data_column_constraints (OGC 12-128r17, annex F.9).
void write_schema(Database& database, const GeoPackageSpec& spec);

// gpkg_metadata and gpkg_metadata_reference (annex F.8), each text about the whole file.
void write_metadata(Database& database, const std::vector<std::string>& texts, const std::string& timestamp);

// gpkgext_relations and a mapping table for each relation (OGC 18-000, Related Tables Extension 1.0, sections 6 and 7):
// a viewer that knows them shows a parcel's roofs beside it. How many pairs each relation has.
std::vector<std::int64_t> write_relations(Database& database, const GeoPackageSpec& spec, const RelationRows& rows);

// The mapping table of a relation.
[[nodiscard]] std::string mapping_table(const LayerRelation& relation);

// layer_styles: a table that open viewers look for; it is listed as plain attributes.
void write_styles(Database& database, const GeoPackageSpec& spec);

}  // namespace eaveshed
