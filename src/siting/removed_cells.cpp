#include "eaveshed/siting/removed_cells.hpp"

#include <algorithm>
#include <span>
#include <vector>

#include "eaveshed/core/lanes.hpp"
#include "rule_walk.hpp"

namespace eaveshed {

namespace {

template <typename Rule>
constexpr std::size_t index_of(Rule) {
    return static_cast<std::size_t>(Rule::kEntry.reason);
}

constexpr std::size_t kKeepingRule = kGroundRules;  // rule_walk.hpp checks it

// How many of the cells each rule of the ground is the first to remove.
using GroundCount = std::array<std::uint64_t, kGroundRules>;

EAVESHED_WIDEN GroundCount count_ground(const double* slopes, std::size_t count, const PadLimits& limits,
                                        double tank_radius_m) {
    GroundCount removed{};
    for (std::size_t i = 0; i < count; ++i) {
        std::uint64_t left = 1;  // ones and noughts, as wide as the sums: truths would keep the loop from vectors
        each_rule([&](auto rule) {
            if constexpr (RuleOf<decltype(rule), GroundAsked>) {
                const std::uint64_t failed = fails(rule, GroundAsked{slopes[i], tank_radius_m}, limits) ? 1U : 0U;
                removed[index_of(rule)] += left & failed;
                left &= ~failed;
            }
        });
    }
    return removed;
}

class CellCounter {
public:
    CellCounter(const PadSite& site, const PadRules& rules, const Tanks& tanks)
        : m_site(site), m_rules(rules), m_tanks(tanks), m_size(ground_of(tanks, rules.pad_margin_m)) {}

    // `terrain` covers the slopes of the row.
    void add_row(std::int64_t row, const SiteTerrain& terrain) {
        find_runs(row);
        m_site.surroundings->near_roof(row, m_rules.max_fill_m, m_near);
        for (const Span& run : m_near) {
            m_slopes.resize(static_cast<std::size_t>(run.end - run.begin));
            terrain.slopes(row, run.begin, m_slopes);
            add_run(row, run);
        }
    }
    [[nodiscard]] const RemovedCells& removed() const { return m_removed; }

private:
    // What the rules of the runs say of the row; of a row without any kept cell nothing else is asked.
    void find_runs(std::int64_t row) {
        const RunsAsked asked{m_site, row, m_size.pad_radius_m};
        each_rule([&](auto rule) {
            using Rule = decltype(rule);
            Spans& runs = m_runs[index_of(rule)];
            if constexpr (KeepsRuns<Rule>) {
                Rule::keeps(asked, limit_of(rule, m_rules.limits), runs);
            } else if constexpr (RemovesRuns<Rule>) {
                if (!m_runs[kKeepingRule].empty()) {
                    Rule::removes(asked, limit_of(rule, m_rules.limits), runs);
                }
            }
        });
    }

    // The cells of a run within reach: those outside what is kept, mostly many, need no more than to be counted.
    void add_run(std::int64_t row, const Span& run) {
        const GroundCount ground = count_ground(m_slopes.data(), m_slopes.size(), m_rules.limits, m_size.tank_radius_m);
        std::uint64_t outside = m_slopes.size();
        for (std::size_t rule = 0; rule < kGroundRules; ++rule) {
            m_removed[rule] += ground[rule];
            outside -= ground[rule];
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
                if (!fails_any(GroundAsked{slope, m_size.tank_radius_m}, m_rules.limits)) {
                    --outside;
                    add_kept({row, col}, slope, removing);
                }
            }
        }
        m_removed[kKeepingRule] += outside;
    }

    // A cell that the rules of the ground leave, inside what is kept. The rules of the pad come last.
    void add_kept(Cell cell, double slope, std::array<SpanCursor, kPadRules>& removing) {
        const PlaceAsked place{m_site, cell, m_site.terrain->centre(cell), m_size.pad_radius_m};
        auto reason = first_rule([&](auto rule) {
            if constexpr (RemovesRuns<decltype(rule)>) {
                if (removing[index_of(rule)].holds(cell.col)) {
                    return true;
                }
            }
            return fails(rule, place, m_rules.limits);
        });
        if (!reason) {
            const Pad pad = pad_at({cell, m_site.terrain->elev_m(cell), slope}, m_site, m_rules, m_tanks);
            reason = first_rule([&](auto rule) { return fails(rule, pad, m_rules.limits); });
        }
        if (reason) {
            ++m_removed[static_cast<std::size_t>(*reason)];
        }
    }

    const PadSite& m_site;
    const PadRules& m_rules;
    const Tanks& m_tanks;
    TankGround m_size;
    std::array<Spans, kPadRules> m_runs;  // of one row, by rule
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
    CellCounter counter(site, rules, tanks);
    for (std::int64_t row = around.row_begin; row < around.row_end; ++row) {
        counter.add_row(row, terrain);
    }
    return counter.removed();
}

}  // namespace eaveshed
