// The search for the best pad of one roof.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/siting/choice.hpp"
#include "eaveshed/siting/feed.hpp"
#include "eaveshed/siting/obstacles.hpp"
#include "eaveshed/siting/pad_rules.hpp"
#include "eaveshed/siting/site_terrain.hpp"
#include "eaveshed/siting/surroundings.hpp"

namespace eaveshed {

// One roof with what lies around it; what it points to outlives it.
struct PadSite {
    const SiteTerrain* terrain = nullptr;  // covers Surroundings::own, and the slopes there
    const Surroundings* surroundings = nullptr;
    const Obstacles* obstacles = nullptr;
    double eave_elev_m = 0.0;
    double eave_sd_m = 0.0;
    Point use_metres;  // in the terrain's local metres
    double use_elev_m = 0.0;
    double smaller_cell_side_m = 0.0;
    // Where someone has found on site that a tank can stand: the only candidate. What a visit settles does not remove
    // it (slope, cut, parcel, setbacks, exclusions); elevations that are missing, and heights that no pump of the
    // settings lifts, do.
    std::optional<Cell> given_cell = {};
};

// A cell on which the tanks can stand, with all that was computed there.
struct Pad {
    Cell cell;
    Place place;
    double ground_elev_m = 0.0;  // uncut
    double slope = 0.0;          // m per m
    double pad_elev_m = 0.0;
    double cut_m = 0.0;
    double pad_radius_m = 0.0;
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

// How many cells each rule was the first to remove; in the order of PadReason.
constexpr std::size_t kPadRules = 10;  // the rules of eligibility: PadReason up to feed_lift
using RemovedCells = std::array<std::uint64_t, kPadRules>;

// The rule that removed most cells, ties the first; elevation_gap where there was no cell at all.
// method.md 6.21.
[[nodiscard]] PadReason main_reason(const RemovedCells& removed);

// The ground that tanks take: of one of them and of all together, as radii (pad_size.hpp).
struct TankGround {
    double tank_radius_m = 0.0;
    double pad_radius_m = 0.0;
};

// Answers row by row: which cells the shapes around the roof leave open, then of those only such as can still be better
// than what was found.
// method.md 6.4.
class PadSearch {
public:
    PadSearch(const PadSite& site, const PadRules& rules) : m_site(site), m_rules(rules) {}

    // The cells within max_fill_m of the roof, or the one that was measured.
    [[nodiscard]] std::size_t cell_count() const;
    // The best eligible pads, best first, at most `wanted` of them. One is found much faster than many.
    [[nodiscard]] std::vector<Pad> best(const Tanks& tanks, std::size_t wanted) const;
    // Whether any cell is left by the rules that only grow stricter with the ground that the tanks take: all but those
    // of height. `least`: of several options the smallest ground of one tank and of all. False: none of them has a pad.
    [[nodiscard]] bool any_place(const TankGround& least) const;
    // All of them, best first: every cell that passes the rules.
    [[nodiscard]] std::vector<Pad> eligible(const Tanks& tanks) const;
    // Every cell by the first rule that removes it, in the order of the rules.
    [[nodiscard]] RemovedCells removed(const Tanks& tanks) const;

private:
    // A cell whose slope is known and allowed.
    struct MeasuredCell {
        Cell cell;
        double elev_m = 0.0;
        double slope = 0.0;
        double fill_distance_m = 0.0;
    };
    // The rows that the search walks through, emptied rule by rule.
    struct OpenRow {
        Spans cells;
        Spans other;  // scratch
    };
    // The cells of the row that no setback from boundary and buildings removes.
    void find_open(std::int64_t row, double pad_radius_m, OpenRow& open) const;
    // `visit` says with true that it has seen enough.
    template <typename Visit>
    void for_each_open(double pad_radius_m, Visit&& visit) const;
    // None where the ground itself, or the cut that one tank needs, forbids.
    [[nodiscard]] std::optional<MeasuredCell> measured(Cell cell, double tank_radius_m) const;
    // A rank that no pad on the cell can be better than, from its elevation alone.
    [[nodiscard]] PadRank bound_at(Cell cell, double elev_m, const Tanks& tanks) const;
    [[nodiscard]] bool too_much_cut(double slope, double tank_radius_m) const;
    [[nodiscard]] std::optional<PadReason> failed_by_obstacles(const Place& place, double pad_radius_m) const;
    [[nodiscard]] std::optional<PadReason> failed_by_height(const Pad& pad) const;
    [[nodiscard]] Pad pad_at(const MeasuredCell& cell, const Tanks& tanks) const;
    // The measured cell, where it is near enough; with its slope, where that is known.
    [[nodiscard]] bool given_is_near() const;
    [[nodiscard]] std::optional<Pad> given_pad(const Tanks& tanks) const;
    [[nodiscard]] std::optional<PadReason> failed_on_site(const Pad& pad) const;
    void count_given(const Tanks& tanks, RemovedCells& removed) const;
    // What the shapes say of one row.
    struct RowShapes {
        Spans parcel;
        Spans boundary;
        Spans buildings;
    };
    void count_run(std::int64_t row, const Span& run, std::span<const double> slopes, const Tanks& tanks,
                   const RowShapes& shapes, RemovedCells& removed) const;
    void count_row(std::int64_t row, const SiteTerrain& terrain, const Tanks& tanks, RemovedCells& removed) const;
    void count_open(const MeasuredCell& cell, const Tanks& tanks, RemovedCells& removed) const;

    PadSite m_site;
    PadRules m_rules;
};

}  // namespace eaveshed
