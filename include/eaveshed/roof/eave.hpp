// Where the gutter is.
#pragma once

#include <cstdint>
#include <optional>

#include "eaveshed/core/choices.hpp"
#include "eaveshed/core/raster.hpp"
#include "eaveshed/roof/ground.hpp"
#include "eaveshed/shape/polygon.hpp"

namespace eaveshed {

enum class EaveBasis : std::uint8_t { elevation, field, surface, storeys, standard_height };

struct EaveRules {
    EaveFrom ground = EaveFrom::mid;
    bool surface_is_height = false;  // the surface raster holds heights above ground, not elevations
    double storey_height_m = 0.0;
    double standard_height_m = 0.0;
    double sd_field_m = 0.0;  // standard deviations of the eave elevation by what it rests on
    double sd_surface_m = 0.0;
    double sd_storeys_m = 0.0;
    double sd_standard_m = 0.0;
};

// What the data say of one roof; null values, and heights and storeys that are not positive, count as absent.
struct EaveData {
    std::optional<double> eave_height_m;
    std::optional<double> surface_m;  // 10th percentile of the surface raster inside the roof
    std::optional<double> storeys;
    std::optional<double> eave_elev_m = {};  // of the gutter, measured; it wins over all others
};

struct Eave {
    double elev_m = 0.0;
    double sd_m = 0.0;
    EaveBasis basis = EaveBasis::standard_height;
    double ground_elev_m = 0.0;  // what the height counts from: by the rules for heights, mid for an elevation
    double height_m = 0.0;       // above that ground
};

// The first that applies: measured elevation, measured height, surface raster more than 1.5 m above the ground,
// storeys, standard height.
// method.md 1.10.
[[nodiscard]] Eave eave_of(const Ground& ground, const EaveData& data, const EaveRules& rules);

// Nearest-rank 10th percentile of the surface cells whose centres lie inside the outline (in the surface's CRS): the
// gutter is the roof's low edge, and one percentile above the lowest spares it cells that miss the roof. None without
// such cells.
// method.md 1.11.
[[nodiscard]] std::optional<double> surface_percentile(const MultiPolygon& outline, const SparseRaster& surface);

}  // namespace eaveshed
