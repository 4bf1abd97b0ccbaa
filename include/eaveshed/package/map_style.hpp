// How viewers draw a layer, said once and written in the two forms they read: OGC Styled Layer Descriptor 1.1 with
// Symbology Encoding 1.1 (OGC 05-078r4, 05-077r4), and the QML that desktop viewers take from a `layer_styles` table.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "eaveshed/package/geopackage_writer.hpp"

namespace eaveshed {

// The well-known marks of Symbology Encoding.
enum class Mark : std::uint8_t { circle, square, triangle, star, cross };

// Features that are drawn alike. Either values of a text column, or a range of numbers from (included) to below (not
// included); none of the three: features whose column is null, or every feature where the style names no column.
struct MapClass {
    std::string label;
    std::string fill;  // "#rrggbb"
    Mark mark = Mark::circle;
    std::string equals = {};
    std::optional<double> from = {};
    std::optional<double> below = {};
};

struct MapStyle {
    std::string name;
    std::string description;
    std::string column;  // whose values the classes tell apart; empty: one class for all
    std::string outline = "#404040";
    double mark_size_px = 10.0;
    std::vector<MapClass> classes;  // in the order of the legend
};

// `layer` has a geometry. Column titles become the names that viewers show.
[[nodiscard]] LayerStyle layer_style(const LayerSpec& layer, const MapStyle& style);

}  // namespace eaveshed
