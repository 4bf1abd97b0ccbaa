// The straight lines that tie a pad to a roof and to the use point, and whether the line that fills empties itself.
#pragma once

#include <optional>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/record/pipe_row.hpp"
#include "eaveshed/roof/eave.hpp"
#include "eaveshed/settings/settings.hpp"
#include "eaveshed/site/tile_input.hpp"
#include "eaveshed/siting/pad.hpp"
#include "eaveshed/siting/pad_rules.hpp"

namespace eaveshed {

// What a fill pipe runs between: a roof and the tanks on a pad, `distance_m` apart (horizontally; 0 where the pad is
// under the roof).
struct FillCourse {
    const TileRoof& roof;
    double eave_elev_m = 0.0;
    const Pad& pad;
    Tanks tanks;
    double distance_m = 0.0;
    Point metres_at;  // whose metres hold, in the terrain's CRS: the interior point of the pad's own roof
};

// From the point of the roof nearest to the pad, at the gutter's height, to the tanks' top above the pad's centre; with
// what `fill_line` says of it. The roof's outline is not empty.
[[nodiscard]] PipeRow fill_pipe(const FillCourse& course, const TileInput& tile, const Settings& settings);

// Dry: at most dry_line_max_m long, falling, and no ground, sampled at most half a cell apart along it, above the
// straight line between its ends. None where the elevations have a gap on the way that could hide such ground.
// `pipe` is a fill pipe; `step_m` is half the smaller cell side.
// method.md 10.3.
[[nodiscard]] std::optional<FillLine> fill_line(const PipeRow& pipe, const SparseRaster& terrain, double step_m,
                                                double dry_line_max_m);

// Of several lines to one pad: wet as soon as one is; dry when all are known to be.
[[nodiscard]] std::optional<FillLine> together(std::optional<FillLine> a, std::optional<FillLine> b);

}  // namespace eaveshed
