#include "eaveshed/siting/removed_cells.hpp"

#include <algorithm>
#include <limits>
#include <span>
#include <vector>

#include "eaveshed/core/lanes.hpp"
#include "eaveshed/siting/ground_verdicts.hpp"
#include "stand_rules.hpp"

namespace eaveshed {

namespace {

template <typename Rule>
constexpr std::size_t index_of(Rule) {
    return static_cast<std::size_t>(Rule::kEntry.reason);
}

constexpr auto kKeeps = static_cast<PadReason>(kKeepingRule);
constexpr double kGuardM = 1e-9;  // rounding must not make a bound too tight
constexpr double kNoLimit = std::numeric_limits<double>::infinity();

// How many of the cells each rule of the ground, and of a single tank's level, is the first to remove.
using GroundCount = std::array<std::uint64_t, kKeepingRule>;

EAVESHED_WIDEN GroundCount count_ground(const double* slopes, std::size_t count, const PadLimits& limits,
                                        double level_radius_m) {
    GroundCount removed{};
    for (std::size_t i = 0; i < count; ++i) {
        std::uint64_t left = 1;  // ones and noughts, as wide as the sums: truths would keep the loop from vectors
        const GroundAsked ground{slopes[i]};
        const Levelled level = level_circle(0.0, slopes[i], level_radius_m);
        each_rule([&](auto rule) {
            if constexpr (index_of(decltype(rule){}) < kKeepingRule) {
                const std::uint64_t failed = fails(rule, ground, limits) || fails(rule, level, limits) ? 1U : 0U;
                removed[index_of(rule)] += left & failed;
                left &= ~failed;
            }
        });
    }
    return removed;
}

// Counts the cells of one site for one option, row by row.
class CellCounter {
public:
    // `site` has the terrain of every cell within the roof's reach.
    CellCounter(const PadSite& site, const PadRules& rules, const Tanks& tanks)
        : m_site(site),
          m_rules(rules),
          m_tanks(tanks),
          m_footing(*site.terrain, ground_of(tanks, rules.pad_margin_m)),
          m_size(m_footing.size()),
          m_clearance(clearance_of(m_size.pad_radius_m, rules.limits)),
          m_give_up_m(site.terrain->has_gaps() ? kNoLimit : rules.limits[PadReason::cut]) {}

    void add_row(std::int64_t row) {
        find_runs(row);
        m_site.surroundings->near_roof(row, m_rules.max_fill_m, m_near);
        for (const Span& run : m_near) {
            m_slopes.resize(static_cast<std::size_t>(run.end - run.begin));
            m_site.terrain->slopes(row, run.begin, m_slopes);
            add_run(row, run);
        }
    }
    [[nodiscard]] const RemovedCells& removed() const { return m_removed; }

private:
    [[nodiscard]] bool single() const { return m_size.count == 1; }

    // What the rules of the rows say of the row; of one without any kept cell only that is asked.
    void find_runs(std::int64_t row) {
        const RowAsked asked{m_site, row};
        const CellRange& own = m_site.surroundings->own();
        each_rule([&](auto rule) {
            using Rule = decltype(rule);
            if constexpr (KeepsRuns<Rule>) {
                Rule::keeps(asked, m_inside);
            } else if constexpr (MeasuresRows<Rule>) {
                if (!m_inside.empty()) {
                    std::vector<double>& squares = m_squares[measuring_index(rule)];
                    squares.resize(static_cast<std::size_t>(own.cols()));
                    Rule::squares(asked, {own.col_begin, own.col_end}, squares);
                }
            }
        });
        if (!single()) {
            find_kept(row);
        }
    }

    // Outside these no way to stand passes the rule that keeps cells. Where no tank stands in the middle of a row, all
    // may stand in the parcel and the middle outside: at a bay of its edge, and no farther from it than the inner ones
    // are from the middle.
    void find_kept(std::int64_t row) {
        constexpr double kWiderM = 1e-6;
        m_kept = m_inside;
        if (m_site.surroundings->has_parcel() && !m_size.has_middle_tank()) {
            Spans edge;
            m_site.surroundings->near_boundary(row, 0.5 * m_size.spacing_m + kWiderM, edge);
            m_kept.insert(m_kept.end(), edge.begin(), edge.end());
            normalise(m_kept);
        }
    }

    // The cells of a run within reach: those outside what is kept, mostly many, need little more than to be counted.
    void add_run(std::int64_t row, const Span& run) {
        const GroundCount ground =
            count_ground(m_slopes.data(), m_slopes.size(), m_rules.limits, single() ? m_size.tank_radius_m : 0.0);
        for (std::size_t rule = 0; rule < kKeepingRule; ++rule) {
            m_removed[rule] += ground[rule];
        }
        if (single()) {
            add_cells_of_single(row, run, ground);
        } else {
            add_cells_of_several(row, run);
        }
    }

    void add_cells_of_single(std::int64_t row, const Span& run, const GroundCount& ground) {
        std::uint64_t outside = m_slopes.size();
        for (const std::uint64_t removed : ground) {
            outside -= removed;
        }
        for (const Span& kept : m_inside) {
            for (std::int64_t col = std::max(kept.begin, run.begin); col < std::min(kept.end, run.end); ++col) {
                const double slope = m_slopes[static_cast<std::size_t>(col - run.begin)];
                if (!fails_any(GroundAsked{slope}, m_rules.limits) &&
                    !fails_any(level_circle(0.0, slope, m_size.tank_radius_m), m_rules.limits)) {
                    --outside;
                    const PadGround here = ground_at({row, col});
                    count(reason_together(here, m_footing.level_together(here, kNoLimit), true));
                }
            }
        }
        m_removed[kKeepingRule] += outside;
    }

    [[nodiscard]] PadGround ground_at(Cell cell) const {
        return {cell, m_site.terrain->elev_m(cell), m_site.terrain->gradient(cell)};
    }

    // Why the tanks cannot stand on one circle whose level passes; the rules of the pad come last. `inside`: in the
    // runs that are kept, of which alone the rest is known.
    std::optional<PadReason> reason_together(const PadGround& ground, const Levelled& level, bool inside) {
        const auto at = static_cast<std::size_t>(ground.cell.col - m_site.surroundings->own().col_begin);
        const PlaceAsked place{m_site, m_site.terrain->centre(ground.cell), m_size.pad_radius_m};
        const auto reason = first_rule([&](auto rule) {
            using Rule = decltype(rule);
            if constexpr (KeepsRuns<Rule>) {
                if (!inside) {
                    return true;
                }
            } else if constexpr (MeasuresRows<Rule>) {
                if (m_squares[measuring_index(rule)][at] < m_clearance[measuring_index(rule)]) {
                    return true;
                }
            }
            return fails(rule, place, m_rules.limits);
        });
        return reason ? reason
                      : reason_of_heights(ground, {.radius_m = m_size.pad_radius_m, .tanks = {}, .level = level});
    }

    std::optional<PadReason> reason_of_heights(const PadGround& ground, const Stand& stand) {
        const Pad pad = pad_at(ground, stand, m_site, m_rules, m_tanks);
        return first_rule([&](auto rule) { return fails(rule, pad, m_rules.limits); });
    }

    void add_cells_of_several(std::int64_t row, const Span& run) {
        SpanCursor kept(m_kept);
        SpanCursor inside(m_inside);
        for (std::int64_t col = run.begin; col < run.end; ++col) {
            const double slope = m_slopes[static_cast<std::size_t>(col - run.begin)];
            if (!fails_any(GroundAsked{slope}, m_rules.limits)) {
                count(reason_of_several(ground_at({row, col}), kept.holds(col), inside.holds(col)));
            }
        }
    }

    // As far as the cut. A gap may lie behind too deep a cut only where the terrain has any.
    std::optional<PadReason> level_reason_together(const PadGround& ground, Levelled& level) const {
        level = level_circle(ground.elev_m, ground.slope(), m_size.pad_radius_m);
        if (level.cut_m <= m_give_up_m + kGuardM) {
            level = m_footing.level_together(ground, m_give_up_m);
        }
        return first_rule([&](auto rule) { return fails(rule, level, m_rules.limits); });
    }
    // What it says is exact where `exact`, else only whether there is any.
    [[nodiscard]] std::optional<PadReason> level_reason_of_row(const PadGround& ground, bool exact) const {
        const Levelled level = m_footing.row(ground).level(m_rules.limits[PadReason::slope], m_give_up_m);
        const auto reason = first_rule([&](auto rule) { return fails(rule, level, m_rules.limits); });
        if (!reason || !exact) {
            return reason;
        }
        const Stand stand = m_footing.in_a_row(ground);
        return first_rule([&](auto rule) {
            return fails(rule, stand.level, m_rules.limits) ||
                   std::ranges::any_of(stand.tanks, [&](const StandingTank& tank) {
                       return fails(rule, GroundAsked{tank.slope}, m_rules.limits);
                   });
        });
    }

    // The later of the two reasons; none where one way to stand passes. Outside what is kept neither passes the rule
    // that keeps.
    std::optional<PadReason> reason_of_several(const PadGround& ground, bool kept, bool inside) {
        Levelled level;
        auto together = level_reason_together(ground, level);
        if (!together) {
            together = kept ? reason_together(ground, level, inside) : kKeeps;
        }
        if (!together || (!kept && *together == kKeeps)) {
            return together;
        }
        if (const auto reason = level_reason_of_row(ground, *together < PadReason::cut)) {
            return std::max(*together, *reason);
        }
        if (!kept) {
            return kKeeps;
        }
        const Stand stand = m_footing.in_a_row(ground);
        auto row = first_rule([&](auto rule) {
            return std::ranges::any_of(stand.tanks, [&](const StandingTank& tank) {
                return fails_anywhere(rule, PlaceAsked{m_site, tank.centre, stand.radius_m}, m_rules.limits);
            });
        });
        row = row ? row : reason_of_heights(ground, stand);
        return row ? std::optional(std::max(*together, *row)) : std::nullopt;
    }

    void count(const std::optional<PadReason>& reason) {
        if (reason) {
            ++m_removed[static_cast<std::size_t>(*reason)];
        }
    }

    const PadSite& m_site;
    const PadRules& m_rules;
    const Tanks& m_tanks;
    Footing m_footing;
    TankGround m_size;
    Clearance m_clearance;                                       // of one circle around all tanks
    double m_give_up_m;                                          // a cut behind which nothing else can matter
    Spans m_inside;                                              // of one row: what the rule keeps that keeps runs
    std::array<std::vector<double>, kMeasuringRules> m_squares;  // of its own cells, where any is kept
    Spans m_kept;                                                // of one row, for several tanks
    Spans m_near;
    std::vector<double> m_slopes;
    RemovedCells m_removed{};
};

}  // namespace

PadReason main_reason(const RemovedCells& removed) {
    return static_cast<PadReason>(std::ranges::max_element(removed) - removed.begin());
}

std::optional<PadReason> main_reason_of_ground(const PadSite& site, const PadRules& rules) {
    const CellRange& around = site.surroundings->around();
    RemovedCells removed{};
    std::uint64_t left = 0;  // by the rules of the ground
    Spans near;
    for (std::int64_t row = around.row_begin; row < around.row_end; ++row) {
        site.surroundings->near_roof(row, rules.max_fill_m, near);
        left += static_cast<std::uint64_t>(cell_count(near));
        for (const Span& run : near) {
            site.verdicts->count(row, run, site.terrain->reach().slope, removed);
        }
    }
    for (const std::uint64_t count : removed) {
        left -= count;
    }
    // What is left may all fall to one rule, to one of the ground too: tanks of a row stand on other cells.
    const PadReason most = main_reason(removed);
    const auto rule = static_cast<std::size_t>(most);
    for (std::size_t other = 0; other < kPadRules; ++other) {
        const std::uint64_t others = removed.at(other) + left;
        if (other != rule && (other < rule ? others >= removed.at(rule) : others > removed.at(rule))) {
            return std::nullopt;
        }
    }
    return most;
}

RemovedCells removed_cells(const PadSite& site, const PadRules& rules, const Tanks& tanks) {
    const CellRange& around = site.surroundings->around();
    const SiteTerrain terrain = site.terrain->over(around);
    PadSite wide = site;
    wide.terrain = &terrain;
    CellCounter counter(wide, rules, tanks);
    for (std::int64_t row = around.row_begin; row < around.row_end; ++row) {
        counter.add_row(row);
    }
    return counter.removed();
}

}  // namespace eaveshed
