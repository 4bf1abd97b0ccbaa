// A style in the form that desktop viewers take from a `layer_styles` table: rules, labels and the columns' names for
// people.
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

// `shape` is not none. `aliases` in the order of the columns.
[[nodiscard]] std::string qml_text(LayerShape shape, const MapStyle& style, std::span<const ColumnAlias> aliases);

}  // namespace eaveshed
