#include "eaveshed/package/layers.hpp"

#include "eaveshed/package/map_styles.hpp"
#include "eaveshed/record/output_rows.hpp"

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

}  // namespace

std::vector<LayerSpec> output_layers(const OutputSettings& settings) {
    std::vector<LayerSpec> layers;
    for (const OutputTable& output : output_tables()) {
        layers.push_back({.name = std::string(output.table.name),
                          .title = std::string(output.table.title),
                          .meaning = std::string(output.table.meaning),
                          .shape = output.table.shape,
                          .columns = layer_columns(output.columns, settings.units == OutputUnits::us),
                          .style = std::nullopt});
    }
    const auto draw = [&](std::size_t layer, const MapStyle& style) {
        layers.at(layer).style = layer_style(layers[layer], style);
    };
    draw(kTableOf<RoofRow>, roof_style());
    draw(kTableOf<PadRow>, pad_style());
    draw(kTableOf<UsePointRow>, use_point_style());
    return layers;
}

}  // namespace eaveshed
