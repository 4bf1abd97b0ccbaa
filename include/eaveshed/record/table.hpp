// A table of the output in words; its row type holds it as `kTable`, above the members.
#pragma once

#include <cstdint>
#include <string_view>

#include "eaveshed/record/field.hpp"

namespace eaveshed {

enum class LayerShape : std::uint8_t { none, multipolygon, point_z, line_z, line };

struct Table {
    std::string_view name;  // in the file
    std::string_view title;
    std::string_view meaning;  // a sentence, in the file
    LayerShape shape = LayerShape::none;
    FilledBy filled_by = FilledBy::tile;  // its columns, where they do not say otherwise
    // For docs/output.md: what is said above the columns (which rows there are) and below them (when a column is null,
    // what to be careful about).
    std::string_view rows;
    std::string_view notes{};
};

}  // namespace eaveshed
