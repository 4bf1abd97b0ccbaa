// A style in the form that desktop viewers take from a `layer_styles` table: rules, labels, what is told of a feature,
// and the columns' names for people.
#pragma once

#include <span>
#include <string>

#include "eaveshed/record/table.hpp"
#include "eaveshed/style/map_style.hpp"

namespace eaveshed {

struct ColumnAlias {
    std::string column;
    std::string alias;
};

// `aliases` of every column, in their order. A table without a geometry has the shape none and no rules or labels.
// Values of columns become text in what a viewer shows as a page; none of them can become markup.
[[nodiscard]] std::string qml_text(LayerShape shape, const MapStyle& style, std::span<const ColumnAlias> aliases);

}  // namespace eaveshed
