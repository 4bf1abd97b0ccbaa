// The basin's map: who ranks where, where pads stand, over the lie of the land.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/drawing/legend.hpp"
#include "eaveshed/drawing/map_frame.hpp"
#include "eaveshed/drawing/svg.hpp"
#include "eaveshed/report/basin_shapes.hpp"
#include "eaveshed/style/looks.hpp"

namespace eaveshed {

// How a way of delivery is drawn on every map, and the mark as a drawing has it.
[[nodiscard]] DeliveryLook look_of(Delivery delivery);
[[nodiscard]] Symbol symbol_of(Mark mark);

// The window of a map of the whole extent, as large as a page lets it be: 178 mm wide, 90 to 175 mm high.
[[nodiscard]] MapFrame basin_frame(const Box& extent, const Crs& crs);

// The place of the page that a row of the table leads to; empty for what the map does not show one by one.
[[nodiscard]] std::string map_anchor(const PlaceRow& place);
// Above so many ranks places are drawn as one shape and cannot be led to.
inline constexpr std::int64_t kMostAnchors = 10'000;

// Of more pads than kMostPads the map shows those of the first kFirstPads of the list: the others would hide it.
inline constexpr std::size_t kMostPads = 1000;
inline constexpr std::size_t kFirstPads = 100;

// The map with its legend, as an element (Svg::element()).
[[nodiscard]] std::string basin_map(const BasinRows& rows, const BasinShapes& shapes, const MapFrame& frame);

}  // namespace eaveshed
