#include "eaveshed/siting/removed_cells.hpp"

#include <algorithm>
#include <span>
#include <vector>

#include "eaveshed/core/lanes.hpp"
#include "stand_rules.hpp"

namespace eaveshed {

namespace {

template <typename Rule>
constexpr std::size_t index_of(Rule) {
    return static_cast<std::size_t>(Rule::kEntry.reason);
}

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
          m_size(m_footing.size()) {}

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

    // What the rules of the runs say of the row; of a row without any kept cell nothing else is asked. Of several tanks
    // only what is kept is asked in runs.
    void find_runs(std::int64_t row) {
        const RunsAsked asked{m_site, row, m_size.pad_radius_m};
        each_rule([&](auto rule) {
            using Rule = decltype(rule);
            Spans& runs = m_runs[index_of(rule)];
            if constexpr (KeepsRuns<Rule>) {
                Rule::keeps(asked, limit_of(rule, m_rules.limits), runs);
            } else if constexpr (RemovesRuns<Rule>) {
                if (single() && !m_runs[kKeepingRule].empty()) {
                    Rule::removes(asked, limit_of(rule, m_rules.limits), runs);
                }
            }
        });
        if (!m_size.has_middle_tank()) {
            keep_between_tanks(row);
        }
    }

    // Where no tank stands in the middle of a row, all may stand in the parcel and the middle outside: at a bay of its
    // edge, and no farther from it than the inner ones are from the middle.
    void keep_between_tanks(std::int64_t row) {
        constexpr double kGuardM = 1e-6;
        if (m_site.surroundings->has_parcel()) {
            m_site.surroundings->near_boundary(row, 0.5 * m_size.spacing_m + kGuardM, m_other);
            Spans& kept = m_runs[kKeepingRule];
            kept.insert(kept.end(), m_other.begin(), m_other.end());
            normalise(kept);
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
        std::array<SpanCursor, kPadRules> removing;
        each_rule([&](auto rule) {
            if constexpr (RemovesRuns<decltype(rule)>) {
                removing[index_of(rule)] = SpanCursor(m_runs[index_of(rule)]);
            }
        });
        for (const Span& kept : m_runs[kKeepingRule]) {
            for (std::int64_t col = std::max(kept.begin, run.begin); col < std::min(kept.end, run.end); ++col) {
                const double slope = m_slopes[static_cast<std::size_t>(col - run.begin)];
                if (!fails_any(GroundAsked{slope}, m_rules.limits) &&
                    !fails_any(level_circle(0.0, slope, m_size.tank_radius_m), m_rules.limits)) {
                    --outside;
                    add_kept({row, col}, removing);
                }
            }
        }
        m_removed[kKeepingRule] += outside;
    }

    // A cell that the rules of the ground leave a single tank, inside what is kept. The rules of the pad come last.
    void add_kept(Cell cell, std::array<SpanCursor, kPadRules>& removing) {
        const PlaceAsked place{m_site, m_site.terrain->centre(cell), m_size.pad_radius_m};
        auto reason = first_rule([&](auto rule) {
            if constexpr (RemovesRuns<decltype(rule)>) {
                if (removing[index_of(rule)].holds(cell.col)) {
                    return true;
                }
            }
            return fails(rule, place, m_rules.limits);
        });
        if (!reason) {
            const PadGround ground{cell, m_site.terrain->elev_m(cell), m_site.terrain->gradient(cell)};
            const Pad pad = pad_at(ground, m_footing.together(ground), m_site, m_rules, m_tanks);
            reason = first_rule([&](auto rule) { return fails(rule, pad, m_rules.limits); });
        }
        count(reason);
    }

    void add_cells_of_several(std::int64_t row, const Span& run) {
        SpanCursor kept(m_runs[kKeepingRule]);
        for (std::int64_t col = run.begin; col < run.end; ++col) {
            if (fails_any(GroundAsked{m_slopes[static_cast<std::size_t>(col - run.begin)]}, m_rules.limits)) {
                continue;
            }
            const Cell cell{row, col};
            const PadGround ground{cell, m_site.terrain->elev_m(cell), m_site.terrain->gradient(cell)};
            const CellAnswer answer = answer_at(ground, m_footing, m_site, m_rules, m_tanks, every_rule);
            if (!answer.pad) {
                count(answer.reason);
            }
            (void)kept;
        }
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
    std::array<Spans, kPadRules> m_runs;  // of one row, by rule
    Spans m_other;                        // scratch
    Spans m_near;
    std::vector<double> m_slopes;
    RemovedCells m_removed{};
};

}  // namespace

PadReason main_reason(const RemovedCells& removed) {
    return static_cast<PadReason>(std::ranges::max_element(removed) - removed.begin());
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
