// The search for the best pad of one roof.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
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
    const SiteTerrain* terrain = nullptr;  // covers every cell within max_fill_m of the roof, and the slopes there
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
[[nodiscard]] PadReason main_reason(const RemovedCells& removed);

// Measures the cells around a roof once; the questions then cost little, one storage option after another. Immutable
// after construction.
class PadSearch {
public:
    PadSearch(const PadSite& site, const PadRules& rules);

    // The cells within max_fill_m of the roof, or the one that was measured.
    [[nodiscard]] std::size_t cell_count() const { return m_cell_count; }
    // The best eligible pads, best first, at most `wanted` of them. One is found much faster than many.
    [[nodiscard]] std::vector<Pad> best(const Tanks& tanks, std::size_t wanted) const;
    // All of them, best first: every cell that passes the rules.
    [[nodiscard]] std::vector<Pad> eligible(const Tanks& tanks) const;
    // Every cell by the first rule that removes it, in the order of the rules.
    [[nodiscard]] RemovedCells removed(const Tanks& tanks) const;

private:
    // Small, because there are tens of thousands around a roof.
    struct MeasuredCell {
        Cell cell;
        double slope = 0.0;
        double fill_distance_m = 0.0;
    };
    void measure(Cell cell);
    [[nodiscard]] bool too_steep(double slope) const;
    // What a visit settles: the first of these rules that the pad fails.
    [[nodiscard]] std::optional<PadReason> failed_on_site(const MeasuredCell& cell, double tank_radius_m,
                                                          const Pad& pad) const;
    [[nodiscard]] bool too_much_cut(const MeasuredCell& cell, double tank_radius_m) const;
    [[nodiscard]] std::optional<PadReason> failed(const MeasuredCell& cell, const Tanks& tanks, Pad& pad) const;
    [[nodiscard]] std::optional<PadReason> failed_around(const Pad& pad) const;
    [[nodiscard]] std::optional<PadReason> failed_by_height(const Pad& pad) const;
    [[nodiscard]] Pad pad_at(const MeasuredCell& cell, const Tanks& tanks) const;

    PadSite m_site;
    PadRules m_rules;
    std::size_t m_cell_count = 0;
    RemovedCells m_removed_by_ground{};  // by the rules that know no tank: elevation_gap and slope
    std::vector<MeasuredCell> m_cells;   // the others, by row, then column
};

}  // namespace eaveshed
