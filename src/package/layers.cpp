#include "eaveshed/package/layers.hpp"

#include "eaveshed/package/geopackage_tables.hpp"
#include "eaveshed/record/output_rows.hpp"
#include "eaveshed/style/layer_styles.hpp"
#include "eaveshed/style/qml.hpp"
#include "eaveshed/style/sld.hpp"

namespace eaveshed {

namespace {

LayerColumn layer_column(const Column& column) {
    return {.name = std::string(column.field.name),
            .unit = std::string(column.field.unit),
            .title = std::string(column.field.title),
            .meaning = std::string(column.field.meaning),
            .type = column.type,
            // Several words in one text are free text to a viewer.
            .closed_list = column.several ? "" : std::string(column.list.name)};
}

std::vector<LayerColumn> layer_columns(const std::vector<Column>& columns, bool us) {
    std::vector<LayerColumn> out;
    out.reserve(columns.size());
    for (const Column& column : columns) {
        out.push_back(layer_column(column));
    }
    for (const Column& column : columns) {
        if (us && column.us) {
            LayerColumn& twin = out.emplace_back(layer_column(column));
            twin.name = column.us->name;
            twin.unit = std::string(column.us->unit);
        }
    }
    return out;
}

// Of a table without a geometry a viewer takes the columns' names for people.
LayerStyle layer_style(const LayerSpec& layer, const MapStyle* look) {
    std::vector<ColumnAlias> aliases;
    for (const LayerColumn& column : layer.columns) {
        aliases.push_back({column.name, title_with_unit(column)});
    }
    if (look == nullptr) {
        return {layer.title, "", "", qml_text(layer.shape, {}, aliases)};
    }
    return {look->name, look->description, sld_text(layer.name, layer.shape, *look),
            qml_text(layer.shape, *look, aliases)};
}

}  // namespace

std::vector<LayerSpec> output_layers(const Settings& settings) {
    std::vector<LayerSpec> layers;
    for (const OutputTable& output : output_tables()) {
        layers.push_back({.name = std::string(output.table.name),
                          .title = std::string(output.table.title),
                          .meaning = std::string(output.table.meaning),
                          .shape = output.table.shape,
                          .columns = layer_columns(output.columns, settings.output.units == OutputUnits::us),
                          .style = std::nullopt});
    }
    const StyleChoice choice{!settings.parcels.from.source.empty(), settings.output.units == OutputUnits::us};
    for (LayerSpec& layer : layers) {
        layer.style = layer_style(layer, style_of(layer.name, choice));
    }
    return layers;
}

std::vector<LayerRelation> output_relations() {
    const auto of_parcel = [](std::size_t related) {
        const std::vector<OutputTable>& tables = output_tables();
        return LayerRelation{std::string(tables[kTableOf<ParcelRow>].table.name),
                             std::string(tables[related].table.name), "parcel_id"};
    };
    return {of_parcel(kTableOf<RoofRow>), of_parcel(kTableOf<PadRow>), of_parcel(kTableOf<ParcelOptionRow>)};
}

}  // namespace eaveshed
