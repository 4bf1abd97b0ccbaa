// What stands beside the layers: triggers, words, the run's record, related rows, styles.
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "eaveshed/package/geopackage_tables.hpp"
#include "inspection.hpp"

namespace eaveshed {

// What keeps an index in step with later edits: GDAL's triggers, whatever they are called, for each layer the same.
void Inspection::look_at_triggers() {
    std::set<std::string> first;
    for (const LayerSpec& layer : m_spec.layers) {
        if (layer.shape == LayerShape::none) {
            continue;
        }
        const std::string index = fmt::format("rtree_{}_{}", layer.name, kGeometryColumn);
        std::set<std::string> endings;
        Statement triggers(m_database, "SELECT name FROM sqlite_master WHERE type = 'trigger' AND tbl_name = ?");
        triggers.bind(1, layer.name);
        while (triggers.step()) {
            const std::string name = triggers.text(0);
            endings.insert(name.starts_with(index) ? name.substr(index.size()) : name);
        }
        first = first.empty() ? endings : first;
        if (endings != first || !endings.contains("_insert") || !endings.contains("_delete")) {
            amiss(fmt::format("{} triggers of {}", endings.size(), layer.name),
                  fmt::format("{}, as of the other layers, and one for each insert and delete", first.size()));
        }
    }
}

void Inspection::look_at_words() {
    std::int64_t columns = 0;
    for (const LayerSpec& layer : m_spec.layers) {
        columns += static_cast<std::int64_t>(layer.columns.size());
    }
    std::int64_t terms = 0;
    for (const ClosedList& list : m_spec.closed_lists) {
        terms += static_cast<std::int64_t>(list.terms.size());
    }
    for (const char* const table : {"gpkg_data_columns", "gpkg_data_column_constraints"}) {
        want_table(table);
        want_extension(table, "gpkg_schema");
    }
    want("columns in gpkg_data_columns", number("SELECT COUNT(*) FROM gpkg_data_columns"), columns);
    want("words in gpkg_data_column_constraints", number("SELECT COUNT(*) FROM gpkg_data_column_constraints"), terms);
}

void Inspection::look_at_metadata() {
    if (m_content.metadata.empty()) {
        return;
    }
    for (const char* const table : {"gpkg_metadata", "gpkg_metadata_reference"}) {
        want_table(table);
        want_extension(table, "gpkg_metadata");
    }
    const auto texts = static_cast<std::int64_t>(m_content.metadata.size());
    want("texts in gpkg_metadata", number("SELECT COUNT(*) FROM gpkg_metadata"), texts);
    want("references in gpkg_metadata_reference", number("SELECT COUNT(*) FROM gpkg_metadata_reference"), texts);
    for (std::size_t i = 0; i < m_content.metadata.size(); ++i) {
        if (text("SELECT metadata FROM gpkg_metadata WHERE id = ?", {static_cast<std::int64_t>(i + 1)}) !=
            m_content.metadata[i]) {
            amiss("another text in gpkg_metadata", "the run's record");
        }
    }
}

void Inspection::look_at_relations() {
    for (std::size_t i = 0; i < m_spec.relations.size(); ++i) {
        const LayerRelation& relation = m_spec.relations[i];
        const std::string mapping = mapping_table(relation);
        want_table(mapping);
        want_table("gpkgext_relations");
        want_extension(mapping, "gpkg_related_tables");
        want("entries of " + mapping + " in gpkgext_relations",
             number("SELECT COUNT(*) FROM gpkgext_relations WHERE mapping_table_name = ? AND base_table_name = ? AND "
                    "related_table_name = ?",
                    {mapping, relation.base, relation.related}),
             1);
        want("pairs in " + mapping, number("SELECT COUNT(*) FROM " + quoted_identifier(mapping)),
             m_content.pairs.at(i));
    }
}

void Inspection::look_at_styles() {
    want_table("layer_styles");
    const auto styled =
        std::ranges::count_if(m_spec.layers, [](const LayerSpec& layer) { return layer.style.has_value(); });
    want("styles in layer_styles", number("SELECT COUNT(*) FROM layer_styles"), styled);
    want("the entry of layer_styles in gpkg_contents",
         text("SELECT data_type FROM gpkg_contents WHERE table_name = 'layer_styles'"), "attributes");
    want("layers and tables in gpkg_contents", number("SELECT COUNT(*) FROM gpkg_contents"),
         static_cast<std::int64_t>(m_spec.layers.size()) + 1);
}

}  // namespace eaveshed
