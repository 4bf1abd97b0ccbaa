#include "eaveshed/siting/search.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/siting/certainty.hpp"
#include "rule_walk.hpp"

namespace eaveshed {

namespace {

constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();

// The rows that the search walks through, emptied rule by rule.
struct OpenRow {
    Spans cells;
    Spans other;  // scratch
};

// One rule less: what it keeps becomes the row, what it removes falls out of it. False when nothing is left.
template <typename Rule>
bool narrow(Rule rule, const RunsAsked& asked, const PadRules& rules, OpenRow& open) {
    if constexpr (KeepsRuns<Rule>) {
        // The first of its kind, and what a row costs least without: then the reach, where it cuts anything.
        Rule::keeps(asked, limit_of(rule, rules.limits), open.cells);
        if (!open.cells.empty() && !asked.site.surroundings->all_near_roof(rules.max_fill_m)) {
            asked.site.surroundings->near_roof(asked.row, rules.max_fill_m, open.other);
            intersect(open.cells, open.other);
        }
    } else if constexpr (RemovesRuns<Rule>) {
        Rule::removes(asked, limit_of(rule, rules.limits), open.other);
        subtract(open.cells, open.other);
    } else {
        return true;
    }
    return !open.cells.empty();
}

// The cells of the row within max_fill_m that no rule of the runs removes.
void find_open(const RunsAsked& asked, const PadRules& rules, OpenRow& open) {
    open.cells.clear();
    any_rule([&](auto rule) { return !narrow(rule, asked, rules, open); });
}

// Whether the rule removes a pad of which everything is known. Slow: it asks for whole rows.
template <typename Rule>
bool fails_pad(Rule rule, const Pad& pad, const PadSite& site, const PadRules& rules, const TankGround& ground) {
    const RunsAsked row{site, pad.cell.row, ground.pad_radius_m};
    Spans spans;
    if constexpr (KeepsRuns<Rule>) {
        Rule::keeps(row, limit_of(rule, rules.limits), spans);
        if (!SpanCursor(spans).holds(pad.cell.col)) {
            return true;
        }
    } else if constexpr (RemovesRuns<Rule>) {
        Rule::removes(row, limit_of(rule, rules.limits), spans);
        if (SpanCursor(spans).holds(pad.cell.col)) {
            return true;
        }
    }
    return fails(rule, GroundAsked{pad.slope, ground.tank_radius_m}, rules.limits) ||
           fails(rule, PlaceAsked{site, pad.cell, pad.place, ground.pad_radius_m}, rules.limits) ||
           fails(rule, pad, rules.limits);
}

constexpr bool grows_stricter(const SitingRule& rule) {
    return rule.stricter_with_ground;
}

static_assert(std::ranges::all_of(kRuleEntries,
                                  [](const SitingRule& rule) {
                                      return rule.subject != RuleSubject::runs || rule.stricter_with_ground;
                                  }),
              "any_place asks every rule of the runs");

bool better(const Pad& a, const Pad& b) {
    return a.rank.better_than(b.rank);
}

}  // namespace

PadGround PadSearch::ground_at(Cell cell) const {
    return {cell, m_site.terrain->elev_m(cell), m_site.terrain->slope(cell).value_or(kUnknown)};
}

std::size_t PadSearch::cell_count() const {
    const Surroundings& around = *m_site.surroundings;
    if (m_site.given_cell) {
        return around.distance_to_roof_m(m_site.terrain->centre(*m_site.given_cell)) <= m_rules.max_fill_m ? 1 : 0;
    }
    std::int64_t cells = 0;
    Spans near;
    for (std::int64_t row = around.around().row_begin; row < around.around().row_end; ++row) {
        around.near_roof(row, m_rules.max_fill_m, near);
        cells += eaveshed::cell_count(near);
    }
    return static_cast<std::size_t>(cells);
}

template <typename Visit>
void PadSearch::for_each_open(double pad_radius_m, Visit&& visit) const {
    const CellRange& own = m_site.surroundings->own();
    OpenRow open;
    for (std::int64_t row = own.row_begin; row < own.row_end; ++row) {
        find_open({m_site, row, pad_radius_m}, m_rules, open);
        for (const Span& span : open.cells) {
            for (std::int64_t col = span.begin; col < span.end; ++col) {
                if (visit(Cell{row, col})) {
                    return;
                }
            }
        }
    }
}

bool PadSearch::any_place(const TankGround& least) const {
    if (m_site.given_cell) {
        return true;
    }
    bool found = false;
    for_each_open(least.pad_radius_m, [&](Cell cell) {
        const GroundAsked ground{ground_at(cell).slope, least.tank_radius_m};
        const PlaceAsked place{m_site, cell, m_site.terrain->centre(cell), least.pad_radius_m};
        found = !fails_any<grows_stricter>(ground, m_rules.limits) && !fails_any<grows_stricter>(place, m_rules.limits);
        return found;
    });
    return found;
}

// Every quantity at its best: the steepest ground allowed for the fill, level ground for the feed, no friction and no
// distance to the roof. The order of preference follows each of them in one direction.
PadRank PadSearch::bound_at(Cell cell, double elev_m, const Tanks& tanks) const {
    const double steepest = m_rules.limits[PadReason::slope] / kPercent;
    const double lowest_m = pad_elev_m(elev_m, tank_radius_m(tanks, m_rules.pad_margin_m), steepest);
    const Point centre = m_site.terrain->centre(cell).metres;
    const double dx = centre.x - m_site.use_metres.x;
    const double dy = centre.y - m_site.use_metres.y;
    const PadCertainty certainty =
        pad_certainty(m_rules.elevation_sd_m, 0.0, m_site.smaller_cell_side_m, m_site.eave_sd_m);
    constexpr double kGuard = 1e-9;  // rounding must not make the bound too tight
    return rank_of({.fill_margin_m = fill_margin_m(m_site.eave_elev_m, lowest_m, tanks, 0.0, m_rules) + kGuard,
                    .fill_sd_m = certainty.fill_sd_m - kGuard,
                    .fill_distance_m = 0.0,
                    .pipe_m = m_rules.pipe_slack * std::sqrt(dx * dx + dy * dy) - kGuard,
                    .pressure_kpa = kKpaPerMetre * static_head_m(elev_m, m_site.use_elev_m, tanks, m_rules) -
                                    m_rules.filter_loss_kpa + kGuard,
                    .cell = cell},
                   m_rules);
}

std::optional<PadSearch::GivenPad> PadSearch::given_pad(const Tanks& tanks) const {
    if (cell_count() == 0) {
        return std::nullopt;
    }
    const Cell cell = *m_site.given_cell;
    const SiteTerrain terrain = m_site.terrain->over(m_site.surroundings->around());
    const PadGround ground{cell, terrain.elev_m(cell), terrain.slope(cell).value_or(kUnknown)};
    GivenPad given{pad_at(ground, m_site, m_rules, tanks), std::nullopt};
    const auto first_failed = [&](bool settled) {
        return first_rule([&](auto rule) {
            return rule.kEntry.settled_by_visit() == settled &&
                   fails_pad(rule, given.pad, m_site, m_rules, ground_of(tanks, m_rules.pad_margin_m));
        });
    };
    given.removed = first_failed(false);
    given.pad.waived = first_failed(true);
    return given;
}

std::vector<Pad> PadSearch::best(const Tanks& tanks, std::size_t wanted) const {
    if (m_site.given_cell) {
        return eligible(tanks);
    }
    std::vector<Pad> found;
    const TankGround size = ground_of(tanks, m_rules.pad_margin_m);
    for_each_open(size.pad_radius_m, [&](Cell cell) {
        const double elev_m = m_site.terrain->elev_m(cell);
        if (std::isnan(elev_m) ||
            (found.size() == wanted && !bound_at(cell, elev_m, tanks).better_than(found.back().rank))) {
            return false;
        }
        const PadGround ground = ground_at(cell);
        if (fails_any(GroundAsked{ground.slope, size.tank_radius_m}, m_rules.limits)) {
            return false;
        }
        const Pad pad = pad_at(ground, m_site, m_rules, tanks);
        if (fails_any(pad, m_rules.limits) || (found.size() == wanted && !better(pad, found.back()))) {
            return false;
        }
        // What costs most is asked last: only of a cell that would be taken.
        if (fails_any(PlaceAsked{m_site, cell, pad.place, size.pad_radius_m}, m_rules.limits)) {
            return false;
        }
        found.insert(std::ranges::upper_bound(found, pad, better), pad);
        if (found.size() > wanted) {
            found.pop_back();
        }
        return false;
    });
    return found;
}

std::vector<Pad> PadSearch::eligible(const Tanks& tanks) const {
    std::vector<Pad> pads;
    if (m_site.given_cell) {
        if (const auto given = given_pad(tanks); given && !given->removed) {
            pads.push_back(given->pad);
        }
        return pads;
    }
    const TankGround size = ground_of(tanks, m_rules.pad_margin_m);
    for_each_open(size.pad_radius_m, [&](Cell cell) {
        const PadGround ground = ground_at(cell);
        const PlaceAsked place{m_site, cell, m_site.terrain->centre(cell), size.pad_radius_m};
        if (fails_any(GroundAsked{ground.slope, size.tank_radius_m}, m_rules.limits) ||
            fails_any(place, m_rules.limits)) {
            return false;
        }
        if (const Pad pad = pad_at(ground, m_site, m_rules, tanks); !fails_any(pad, m_rules.limits)) {
            pads.push_back(pad);
        }
        return false;
    });
    std::ranges::sort(pads, better);
    return pads;
}

RemovedCells PadSearch::removed(const Tanks& tanks) const {
    if (!m_site.given_cell) {
        return removed_cells(m_site, m_rules, tanks);
    }
    RemovedCells removed{};
    if (const auto given = given_pad(tanks); given && given->removed) {
        ++removed.at(static_cast<std::size_t>(*given->removed));
    }
    return removed;
}

}  // namespace eaveshed
