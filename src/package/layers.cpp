#include "eaveshed/package/layers.hpp"

#include <string_view>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/package/map_styles.hpp"
#include "eaveshed/record/columns.hpp"
#include "eaveshed/record/us_units.hpp"

namespace eaveshed {

namespace {

// Columns whose texts come from a closed list of one term; `flags` joins several and is free text to a viewer.
std::string list_of(std::string_view column) {
    if (column == "waived_rule") {
        return "no_pad_reason";  // the same rules
    }
    for (const std::string_view name : {"status", "limited_by", "delivery", "gravity_check", "no_pad_reason", "level",
                                        "parcel_status", "contact_status", "fill", "feed", "fill_line", "outcome"}) {
        if (column == name) {
            return std::string(name);
        }
    }
    return "";
}

std::vector<LayerColumn> layer_columns(const std::vector<Column>& columns, bool us) {
    std::vector<LayerColumn> out;
    for (const Column& column : columns) {
        out.push_back({.name = std::string(column.field.name),
                       .unit = std::string(column.field.unit),
                       .title = std::string(column.field.title),
                       .meaning = std::string(column.field.meaning),
                       .type = column.type,
                       .closed_list = list_of(column.field.name)});
    }
    for (const UsColumn& column : us ? us_columns(columns) : std::vector<UsColumn>{}) {
        out.push_back({.name = column.name,
                       .unit = column.unit,
                       .title = column.title,
                       .meaning = column.meaning,
                       .type = ColumnType::real,
                       .closed_list = ""});
    }
    return out;
}

template <std::size_t N>
ClosedList closed_list(const char* name, const std::array<Term, N>& terms) {
    ClosedList list{name, {}};
    for (const Term& term : terms) {
        list.terms.emplace_back(std::string(term.name), std::string(term.meaning));
    }
    return list;
}

}  // namespace

namespace {

std::vector<LayerSpec> plain_layers(const OutputSettings& settings) {
    const bool us = settings.units == OutputUnits::us;
    return {
        {.name = "roofs",
         .title = "Roofs",
         .meaning =
             "Every roof of the input: harvest, storage, summer diversion replaced, and where a tank could stand.",
         .shape = LayerShape::multipolygon,
         .columns = layer_columns(roof_columns(), us),
         .style = std::nullopt},
        {.name = "pads",
         .title = "Pads",
         .meaning = "Where the storage of each roof can stand: height, pressure, distances and how sure gravity is.",
         .shape = LayerShape::point_z,
         .columns = layer_columns(pad_columns(), us),
         .style = std::nullopt},
        {.name = "use_points",
         .title = "Use points",
         .meaning = "Where each roof's water is wanted: given, or a garden cell that stands in for it.",
         .shape = LayerShape::point_z,
         .columns = layer_columns(use_point_columns(), us),
         .style = std::nullopt},
        {.name = "parcels",
         .title = "Parcels",
         .meaning =
             "Every parcel of the input: the storage that its roofs fill together, and its place in the ranking.",
         .shape = LayerShape::multipolygon,
         .columns = layer_columns(parcel_columns(), us),
         .style = std::nullopt},
        {.name = "storage_curve",
         .title = "Storage curve",
         .meaning = "What every storage option of every computed roof replaces.",
         .shape = LayerShape::none,
         .columns = layer_columns(curve_columns(), us),
         .style = std::nullopt},
        {.name = "scenarios",
         .title = "Scenarios",
         .meaning = "What the storage as chosen would replace in other climates.",
         .shape = LayerShape::none,
         .columns = layer_columns(scenario_columns(), us),
         .style = std::nullopt},
        {.name = "overrides",
         .title = "Measured values",
         .meaning = "Every row of the overrides table and what became of it.",
         .shape = LayerShape::none,
         .columns = layer_columns(override_columns(), us),
         .style = std::nullopt},
        {.name = "run_record",
         .title = "Run record",
         .meaning = "Program, settings, inputs, counts and warnings of the run that made this file.",
         .shape = LayerShape::none,
         .columns = layer_columns(run_record_columns(), false),
         .style = std::nullopt}};
}

}  // namespace

std::vector<LayerSpec> output_layers(const OutputSettings& settings) {
    std::vector<LayerSpec> layers = plain_layers(settings);
    const auto draw = [&](std::size_t layer, const MapStyle& style) {
        layers.at(layer).style = layer_style(layers[layer], style);
    };
    draw(kRoofsLayer, roof_style());
    draw(kPadsLayer, pad_style());
    draw(kUsePointsLayer, use_point_style());
    return layers;
}

std::vector<ClosedList> closed_lists() {
    return {closed_list("status", status_terms()),
            closed_list("limited_by", limited_by_terms()),
            closed_list("delivery", delivery_terms()),
            closed_list("gravity_check", gravity_check_terms()),
            closed_list("no_pad_reason", pad_reason_terms()),
            closed_list("level", pad_level_terms()),
            closed_list("parcel_status", parcel_status_terms()),
            closed_list("contact_status", contact_status_terms()),
            closed_list("fill", fill_terms()),
            closed_list("feed", feed_terms()),
            closed_list("fill_line", fill_line_terms()),
            closed_list("outcome", override_outcome_terms())};
}

}  // namespace eaveshed
