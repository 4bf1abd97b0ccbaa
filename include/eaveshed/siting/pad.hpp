// One roof as the search for a pad sees it, and a pad with all that was computed for it.
#pragma once

#include <optional>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/siting/choice.hpp"
#include "eaveshed/siting/feed.hpp"
#include "eaveshed/siting/pad_rules.hpp"
#include "eaveshed/siting/stand.hpp"
#include "eaveshed/vicinity/obstacles.hpp"
#include "eaveshed/vicinity/site_terrain.hpp"
#include "eaveshed/vicinity/surroundings.hpp"

namespace eaveshed {

class GroundVerdicts;

// One roof with what lies around it; what it points to outlives it.
struct PadSite {
    const SiteTerrain* terrain = nullptr;  // covers Surroundings::own, slopes there, and the ground of tanks
    const Surroundings* surroundings = nullptr;
    const Obstacles* obstacles = nullptr;
    double eave_elev_m = 0.0;
    double eave_sd_m = 0.0;
    Point use_metres;  // in the terrain's local metres
    double use_elev_m = 0.0;
    double smaller_cell_side_m = 0.0;
    // Shared by the roofs of a tile; without it a roof that has no pad looks at the ground by itself.
    GroundVerdicts* verdicts = nullptr;
    // Where someone has found on site that a tank can stand: the only candidate. Rules that a visit settles
    // (siting_rule.hpp) do not remove it.
    std::optional<Cell> given_cell = {};
};

// A cell on which the tanks can stand, with all that was computed there.
struct Pad {
    Cell cell;
    Place place;
    Arrangement arrangement = Arrangement::single;
    double row_span_m = 0.0;       // between the outer tanks of a row; else 0
    double row_bearing_deg = 0.0;  // of a row, clockwise from the grid's north, from 0 to below 180
    double ground_elev_m = 0.0;    // uncut
    double slope = 0.0;            // m per m
    double pad_elev_m = 0.0;
    double cut_m = 0.0;
    double pad_radius_m = 0.0;  // of all tanks together, or of each one of a row
    double fill_distance_m = 0.0;
    double fill_margin_m = 0.0;
    double pad_sd_m = 0.0;
    double fill_sd_m = 0.0;
    double feed_sd_kpa = 0.0;
    double use_distance_m = 0.0;  // horizontally, to where the water is wanted
    Feed feed;
    PadRank rank;
    std::optional<PadReason> waived;  // the first rule that a measured pad fails and that a visit has settled
};

// What the rules say of one cell: its pad, or why there is none.
struct CellAnswer {
    std::optional<Pad> pad;
    std::optional<PadReason> reason;  // without a pad: of two ways to stand the later of the rules that they fail
};

// The pad of these tanks on the cell, standing so, whatever the rules say of it.
[[nodiscard]] Pad pad_at(const PadGround& ground, const Stand& stand, const PadSite& site, const PadRules& rules,
                         const Tanks& tanks);

}  // namespace eaveshed
