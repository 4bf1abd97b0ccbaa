// The ground that a pad's tanks take, as an outline to draw.
#pragma once

#include "eaveshed/record/pad_row.hpp"
#include "eaveshed/shape/local_frame.hpp"
#include "eaveshed/shape/polygon.hpp"

namespace eaveshed {

// In the terrain's CRS: a circle, as a polygon of 16 corners that lie on it, or for a row those of all its tanks joined
// into one outline where their margins run into each other. `frame` is that of the place; `pad_margin_m` is
// siting.pad_margin_m. The pad has a place, a radius and a count of tanks, and in a row a length and a bearing.
// method.md 6.2.
[[nodiscard]] MultiPolygon pad_ground(const PadRow& pad, const LocalFrame& frame, double pad_margin_m);

}  // namespace eaveshed
