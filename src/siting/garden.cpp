#include "eaveshed/siting/garden.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "eaveshed/core/quantile.hpp"

namespace eaveshed {

namespace {

// A quotient a hair below a whole number because of rounding counts as that number.
constexpr double kWholeTolerance = 1e-9;

std::int64_t first_multiple(std::int64_t from, std::int64_t step) {
    return (from + step - 1) / step * step;
}

// Of a cell in the parcel and within reach that is not built on.
bool is_garden(Cell cell, const SiteTerrain& terrain, const Surroundings& surroundings, const GardenRules& rules) {
    if (std::isnan(terrain.elev_m(cell)) || !surroundings.belongs(terrain.centre(cell))) {
        return false;
    }
    const auto slope = terrain.slope(cell);
    return slope && *slope * 100.0 <= rules.max_slope_pct;
}

// The cells of a row that no rule but those of the ground and of belonging removes.
void open_ground(std::int64_t row, const Surroundings& surroundings, const GardenRules& rules, Spans& open) {
    Spans other;
    surroundings.in_parcel(row, open);
    if (open.empty()) {
        return;
    }
    if (!surroundings.all_near_roof(rules.max_feed_m)) {
        surroundings.near_roof(row, rules.max_feed_m, other);
        intersect(open, other);
    }
    surroundings.built_on(row, other);
    subtract(open, other);
}

}  // namespace

std::int64_t garden_step_cells(double garden_step_m, double smaller_cell_side_m) {
    const double cells = std::floor(garden_step_m / smaller_cell_side_m + kWholeTolerance);
    return std::max<std::int64_t>(1, static_cast<std::int64_t>(cells));
}

std::vector<GardenCell> garden_cells(const SiteTerrain& terrain, const Surroundings& surroundings,
                                     const GardenRules& rules) {
    std::vector<GardenCell> garden;
    const CellRange& range = surroundings.own();
    Spans open;
    for (std::int64_t row = first_multiple(range.row_begin, rules.step_cells); row < range.row_end;
         row += rules.step_cells) {
        open_ground(row, surroundings, rules, open);
        for (const Span& span : open) {
            for (std::int64_t col = first_multiple(span.begin, rules.step_cells); col < span.end;
                 col += rules.step_cells) {
                if (const Cell cell{row, col}; is_garden(cell, terrain, surroundings, rules)) {
                    garden.push_back({cell, terrain.elev_m(cell)});
                }
            }
        }
    }
    return garden;
}

std::optional<GardenCell> assumed_use_cell(const std::vector<GardenCell>& garden, const SiteTerrain& terrain,
                                           Point interior_m, double share) {
    if (garden.empty()) {
        return std::nullopt;
    }
    std::vector<double> elevations;
    elevations.reserve(garden.size());
    for (const GardenCell& cell : garden) {
        elevations.push_back(cell.elev_m);
    }
    const std::size_t rank = nearest_rank(share, elevations.size());
    std::ranges::nth_element(elevations, elevations.begin() + static_cast<std::ptrdiff_t>(rank));
    const double wanted = elevations[rank];
    const GardenCell* best = nullptr;
    double best_distance = std::numeric_limits<double>::infinity();
    for (const GardenCell& candidate : garden) {
        if (candidate.elev_m != wanted) {
            continue;
        }
        const Point centre = terrain.centre(candidate.cell).metres;
        const double distance = std::hypot(centre.x - interior_m.x, centre.y - interior_m.y);
        if (best == nullptr || distance < best_distance) {
            best = &candidate;
            best_distance = distance;
        }
    }
    return *best;
}

}  // namespace eaveshed
