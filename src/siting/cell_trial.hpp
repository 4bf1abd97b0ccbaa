// One storage option tried on the cells of one site, and the best pads so far: what the search walks with. A cell is
// tried only as far as it can still win; every bound leaves room for rounding. Private to the module.
#pragma once

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <utility>
#include <vector>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/hydraulics/certainty.hpp"
#include "eaveshed/siting/own_cells.hpp"
#include "stand_rules.hpp"

namespace eaveshed {

// The best pads so far.
class Contest {
public:
    explicit Contest(std::size_t wanted) : m_wanted(wanted) {}

    [[nodiscard]] bool admits(const PadRank& rank) const {
        return m_pads.size() < m_wanted || rank.better_than(m_pads.back().rank);
    }
    [[nodiscard]] bool full() const { return m_pads.size() >= m_wanted; }
    // Of the pad that another has to beat, where it is full.
    [[nodiscard]] double last_length_m() const { return m_pads.back().rank.length_m; }
    // No pad of a later stage is admitted.
    [[nodiscard]] int last_stage() const {
        constexpr int kAny = 5;
        return m_pads.size() < m_wanted ? kAny : m_pads.back().rank.stage;
    }
    // Whether that one is beaten in its stage by shorter pipes alone: of pumped feeds, whatever their pressures.
    [[nodiscard]] bool by_length() const { return full() && (last_stage() == 3 || last_stage() == 4); }
    void add(const Pad& pad) {
        m_pads.insert(std::ranges::upper_bound(m_pads, pad, better), pad);
        if (m_pads.size() > m_wanted) {
            m_pads.pop_back();
        }
    }
    [[nodiscard]] std::vector<Pad> pads() && { return std::move(m_pads); }

private:
    std::size_t m_wanted;
    std::vector<Pad> m_pads;
};

// One option on the cells of one site, one cell after another.
class CellTrial {
public:
    CellTrial(const PadSite& site, const PadRules& rules, const Tanks& tanks, const OwnCells& own)
        : m_site(site),
          m_rules(rules),
          m_tanks(tanks),
          m_own_cells(own),
          m_open(own.ground()),
          m_footing(*site.terrain, ground_of(tanks, rules.pad_margin_m)),
          m_tank_clearance(tank_clearance(size().tank_radius_m, site.terrain->sides(), rules)),
          m_max_cut_m(rules.limits[PadReason::cut]),
          m_least_fill_sd_m(
              pad_certainty(rules.elevation_sd_m, 0.0, site.smaller_cell_side_m, site.eave_sd_m).fill_sd_m),
          m_fill_elev_m(fill_margin_m(site.eave_elev_m, 0.0, tanks, 0.0, rules) + kRounding),
          m_sure_elev_m(m_fill_elev_m - sure_margin_m(m_least_fill_sd_m - kGuard)),
          m_feed_elev_m((std::min(rules.minimum_kpa, rules.required_kpa) + rules.filter_loss_kpa - kRounding) /
                            kKpaPerMetre -
                        static_head_m(0.0, site.use_elev_m, tanks, rules)) {}

    [[nodiscard]] const TankGround& size() const { return m_footing.size(); }

    // Whether no pad of the cell is among the best, by its elevation and the least that its pipes can be.
    [[nodiscard]] bool hopeless(const OwnCell& own, const Contest& contest) {
        if (!contest.full()) {
            return false;
        }
        const int stage = least_stage(size().has_middle_tank() ? middle_ground(own) : middle_ground());
        return stage > contest.last_stage() || (stage == contest.last_stage() && beyond(own.shortest_m, contest));
    }
    // Whether none of all cells is that come after it.
    [[nodiscard]] bool rest_hopeless(const OwnCell& own, const Contest& contest) {
        return beyond(own.shortest_m - m_own_cells.disorder_m(), contest) &&
               least_stage(middle_ground()) >= contest.last_stage();
    }

    // The cell's pad, where it may be among the best. The rules that measure have left the cell to the ground around
    // its centre that every arrangement takes, and to all tanks together if `together`. Until the next one is tried.
    const std::optional<Pad>& try_cell(const OwnCell& own, bool together, const Contest& contest) {
        m_own = &own;
        m_ground = {own.cell, own.elev_m, std::nullopt};
        m_contest = &contest;
        m_here.reset();
        if (together) {
            try_together();
        }
        if (size().count > 1) {
            try_row();
        }
        return m_here;
    }

private:
    static constexpr double kGuard = 1e-9;     // rounding must not make a bound too tight
    static constexpr double kRounding = 2e-6;  // nor must that of a rank

    [[nodiscard]] bool wins(const PadRank& rank) const {
        return m_contest->admits(rank) && (!m_here || rank.better_than(m_here->rank));
    }

    // No pad of this margin and pressure is of an earlier stage: without the rounding that a rank takes pains over.
    [[nodiscard]] int least_stage(double margin_m, double pressure_kpa) const {
        if (margin_m < -kRounding) {
            return 5;
        }
        const int by_fill = margin_m + kRounding >= sure_margin_m(m_least_fill_sd_m - kGuard) ? 1 : 2;
        return pressure_kpa + kRounding < std::min(m_rules.minimum_kpa, m_rules.required_kpa) ? by_fill + 2 : by_fill;
    }

    // Whether pipes at least so long are too long for the last stage of the contest.
    [[nodiscard]] static bool beyond(double least_length_m, const Contest& contest) {
        return contest.by_length() && least_length_m > contest.last_length_m() + kRounding;
    }

    // No pad within this range is of an earlier stage, whatever its pipes.
    [[nodiscard]] int least_stage(const ElevationRange& pad) const {
        if (pad.low_m > m_fill_elev_m) {
            return 5;
        }
        const double fed_low_m = std::max(pad.low_m, m_feed_elev_m);
        if (fed_low_m <= std::min(pad.high_m, m_sure_elev_m)) {
            return 1;
        }
        if (fed_low_m <= std::min(pad.high_m, m_fill_elev_m)) {
            return 2;
        }
        return pad.low_m <= m_sure_elev_m ? 3 : 4;
    }

    // Between which elevations the pads of a cell lie that has a tank in the middle: no higher than its ground, and no
    // lower than the deepest cut below.
    [[nodiscard]] ElevationRange middle_ground(const OwnCell& own) const {
        return {own.elev_m - m_max_cut_m - kGuard, own.elev_m + kGuard};
    }

    // The same of all cells; without a tank in the middle, by the ground of the two nearest to it.
    [[nodiscard]] const ElevationRange& middle_ground() {
        if (!m_middle_ground) {
            ElevationRange range;
            if (size().has_middle_tank()) {
                for (const OwnCell& own : m_own_cells.cells()) {
                    range.add(own.elev_m);
                }
            } else {
                const CellSides& sides = m_site.terrain->sides();
                const double away = std::ceil(0.5 * size().spacing_m / std::min(sides.width_m, sides.height_m));
                range =
                    m_site.terrain->elevations_m(m_site.surroundings->own().grown(static_cast<std::int64_t>(away) + 1));
            }
            m_middle_ground = {range.low_m - m_max_cut_m - kGuard, range.high_m + kGuard};
        }
        return *m_middle_ground;
    }

    // Whether a pad within this range can be among the best.
    // Every quantity at its best: the lowest pad for the fill, the highest for the feed, the straight way to the use
    // point no longer than it must be. The order of preference follows each of them in one direction.
    [[nodiscard]] bool can_win(const ElevationRange& pad, double row_span_m, Arrangement arrangement) const {
        if (!m_contest->full() && !m_here) {
            return true;
        }
        if (least_stage(pad) > m_contest->last_stage()) {
            return false;
        }
        const double margin_m = kGuard + fill_margin_m(m_site.eave_elev_m, pad.low_m, m_tanks, m_own->fill_m, m_rules);
        const double rise_m = std::max({0.0, pad.low_m - m_site.use_elev_m, m_site.use_elev_m - pad.high_m});
        const double pipe_m = m_rules.pipe_slack * std::sqrt(m_own->use_squared_m2 + rise_m * rise_m) - kGuard;
        const double head_m = static_head_m(pad.high_m, m_site.use_elev_m, m_tanks, m_rules);
        const double pressure_kpa =
            kKpaPerMetre * (head_m - m_rules.friction_m_per_m * pipe_m) - m_rules.filter_loss_kpa + kGuard;
        const int stage = least_stage(margin_m, pressure_kpa);
        const double length_m = m_rules.fill_weight * m_own->fill_m + pipe_m + row_span_m;
        if (stage > m_contest->last_stage() || (stage == m_contest->last_stage() && beyond(length_m, *m_contest))) {
            return false;
        }
        return wins(rank_of({.fill_margin_m = margin_m,
                             .fill_sd_m = m_least_fill_sd_m - kGuard,
                             .fill_distance_m = m_own->fill_m,
                             .pipe_m = pipe_m,
                             .row_span_m = row_span_m,
                             .pressure_kpa = pressure_kpa,
                             .cell = m_ground.cell,
                             .arrangement = arrangement},
                            m_rules));
    }

    // The direction that a row needs, found once a cell.
    const PadGround& ground() {
        if (!m_ground.gradient) {
            m_ground.gradient = m_site.terrain->gradient(m_ground.cell);
        }
        return m_ground;
    }

    // A pad lies no higher than the lowest ground that it takes, and no lower than the deepest cut below the highest:
    // the circle's own edge is part of it.
    void try_together() {
        const double radius_m = size().pad_radius_m;
        const Levelled circle = level_circle(m_own->elev_m, m_own->slope, radius_m);
        if (circle.cut_m > m_max_cut_m + kGuard) {
            return;
        }
        ElevationRange range{circle.pad_elev_m, circle.pad_elev_m};
        if (size().count > 1) {
            range.low_m = std::min(range.low_m, circle.pad_elev_m + circle.cut_m - m_max_cut_m - kGuard);
        }
        const Arrangement arrangement = size().count == 1 ? Arrangement::single : Arrangement::cluster;
        if (!can_win(range, 0.0, arrangement)) {
            return;
        }
        const Levelled level = m_footing.level_together(ground(), m_max_cut_m);
        take({.arrangement = arrangement, .radius_m = radius_m, .tanks = {}, .level = level}, [&] {
            return !fails_any(PlaceAsked{m_site, m_site.terrain->centre(m_ground.cell), radius_m}, m_rules.limits);
        });
    }

    void try_row() {
        if (size().has_middle_tank() && !can_win(middle_range(), size().row_span_m(), Arrangement::row)) {
            return;
        }
        const TankRow row = m_footing.row(ground());
        const auto has_room = [&](int tank) { return m_open.may_hold(row.holder(tank), m_tank_clearance); };
        if (!can_win(row_range(row), size().row_span_m(), Arrangement::row) || !each_tank(has_room)) {
            return;
        }
        const bool taken = take({.arrangement = Arrangement::row,
                                 .radius_m = size().tank_radius_m,
                                 .row_span_m = size().row_span_m(),
                                 .tanks = {},
                                 .level = row.level(m_rules.limits[PadReason::slope], m_max_cut_m)},
                                [&] { return tanks_pass(row); });
        if (taken) {
            m_here->row_bearing_deg = row.direction().bearing_deg();
        }
    }

    // By a tank in the middle, whose ground is the cell's own.
    [[nodiscard]] ElevationRange middle_range() const {
        const Levelled tank = level_circle(m_own->elev_m, m_own->slope, size().tank_radius_m);
        return {std::min(tank.pad_elev_m, tank.pad_elev_m + tank.cut_m - m_max_cut_m) - kGuard,
                tank.pad_elev_m + kGuard};
    }

    // By the tank in the middle, or the two beside it.
    [[nodiscard]] ElevationRange row_range(const TankRow& row) const {
        const double one_m = row.elev_m((size().count - 1) / 2);
        const double other_m = row.elev_m(size().count / 2);
        return {std::max(one_m, other_m) - m_max_cut_m, std::min(one_m, other_m)};
    }

    // From both ends: these are the first to stand outside.
    template <typename Ask>
    [[nodiscard]] bool each_tank(Ask&& ask) const {
        int i = 0;
        while (i < size().count && ask(i % 2 == 0 ? i / 2 : size().count - 1 - i / 2)) {
            ++i;
        }
        return i == size().count;
    }

    [[nodiscard]] bool tanks_pass(const TankRow& row) const {
        return each_tank([&](int tank) {
            const PlaceAsked asked{m_site, row.tank(tank).centre, size().tank_radius_m};
            return !any_rule([&](auto rule) { return fails_anywhere(rule, asked, m_rules.limits); });
        });
    }

    // Keeps the pad, if it passes the other rules and is better than what the cell has. What costs most is asked last:
    // only of a pad that would be taken.
    template <typename PlacesPass>
    bool take(const Stand& stand, PlacesPass&& places_pass) {
        if (fails_any(stand.level, m_rules.limits) ||
            !can_win({stand.level.pad_elev_m, stand.level.pad_elev_m}, stand.row_span_m, stand.arrangement)) {
            return false;
        }
        const Pad pad = pad_at(ground(), stand, m_site, m_rules, m_tanks);
        if (fails_any(pad, m_rules.limits) || !wins(pad.rank) || !places_pass()) {
            return false;
        }
        m_here = pad;
        return true;
    }

    const PadSite& m_site;
    const PadRules& m_rules;
    const Tanks& m_tanks;
    const OwnCells& m_own_cells;
    const OpenGround& m_open;
    Footing m_footing;
    std::vector<double> m_tank_clearance;
    double m_max_cut_m;
    double m_least_fill_sd_m;                       // of a pad at the roof
    double m_fill_elev_m;                           // no higher pad is filled without a pump, even at the roof
    double m_sure_elev_m;                           // nor surely
    double m_feed_elev_m;                           // no lower one is fed without a pump, even at the use point
    std::optional<ElevationRange> m_middle_ground;  // of all cells, once asked for
    const OwnCell* m_own = nullptr;
    PadGround m_ground;
    const Contest* m_contest = nullptr;
    std::optional<Pad> m_here;
};

}  // namespace eaveshed
