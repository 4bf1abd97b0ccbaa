#include "eaveshed/siting/search.hpp"

#include <algorithm>
#include <limits>

#include "cell_trial.hpp"

namespace eaveshed {

namespace {

// The measured cell: only what no visit settles removes it. The first of the other rules that it fails is told with it.
CellAnswer answer_at_given(const PadSite& site, const PadRules& rules, const Tanks& tanks) {
    const SiteTerrain terrain = site.terrain->over(site.surroundings->around());
    PadSite around = site;
    around.terrain = &terrain;
    const Cell cell = *site.given_cell;
    const PadGround ground{cell, terrain.elev_m(cell), terrain.gradient(cell)};
    const Footing footing(terrain, ground_of(tanks, rules.pad_margin_m));
    CellAnswer answer = answer_at(ground, footing, around, rules, tanks,
                                  [](const SitingRule& rule) { return !rule.settled_by_visit(); });
    if (answer.pad) {
        for_each_stand(footing, ground, [&](const Stand& stand) {
            if (stand.arrangement == answer.pad->arrangement) {
                answer.pad->waived = first_failed({around, rules, stand, *answer.pad},
                                                  [](const SitingRule& rule) { return rule.settled_by_visit(); });
            }
        });
    }
    return answer;
}

}  // namespace

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

const OwnCells& PadSearch::own_cells() const {
    if (!m_own_cells) {
        if (!m_ground) {
            m_ground = std::make_shared<const OpenGround>(m_site, m_rules);
        }
        m_own_cells.emplace(m_site, m_rules, *m_ground);
    }
    return *m_own_cells;
}

// The middle of a pad lies in the parcel too, also between two tanks: those stand in it and keep away from its edge by
// more than they are away from the middle.
template <typename Visit>
void PadSearch::for_each_open(const TankGround& size, Visit&& visit) const {
    const OwnCells& own = own_cells();
    const Clearance core = clearance_of(size.core_radius_m, m_rules.limits);
    const Clearance all = clearance_of(size.pad_radius_m, m_rules.limits);
    for (const OwnCell& cell : own.cells()) {
        if (m_ground->clear(cell.number, core) && visit(cell, size.count == 1 || m_ground->clear(cell.number, all))) {
            return;
        }
    }
}

bool PadSearch::any_place(std::span<const Tanks> options) const {
    if (m_site.given_cell) {
        return true;
    }
    TankGround least{.core_radius_m = std::numeric_limits<double>::infinity()};
    bool in_the_middle = true;
    for (const Tanks& tanks : options) {
        const TankGround size = ground_of(tanks, m_rules.pad_margin_m);
        least.core_radius_m = std::min(least.core_radius_m, size.core_radius_m);
        in_the_middle = in_the_middle && size.has_middle_tank();
    }
    bool found = false;
    for_each_open(least, [&](const OwnCell& own, bool) {
        const PlaceAsked place{m_site, m_site.terrain->centre(own.cell), least.core_radius_m};
        found = !in_the_middle || !fails_any(place, m_rules.limits);
        return found;
    });
    return found;
}

std::vector<Pad> PadSearch::best(const Tanks& tanks, std::size_t wanted) const {
    if (m_site.given_cell) {
        return eligible(tanks);
    }
    Contest contest(wanted);
    const OwnCells& own = own_cells();
    CellTrial trial(m_site, m_rules, tanks, own);
    for_each_open(trial.size(), [&](const OwnCell& cell, bool together) {
        if (trial.hopeless(cell, contest)) {
            return trial.rest_hopeless(cell, contest);
        }
        if (const std::optional<Pad>& pad = trial.try_cell(cell, together, contest)) {
            contest.add(*pad);
        }
        return false;
    });
    return std::move(contest).pads();
}

CellAnswer PadSearch::answer(Cell cell, const Tanks& tanks) const {
    if (m_site.given_cell) {
        return cell == *m_site.given_cell && cell_count() > 0 ? answer_at_given(m_site, m_rules, tanks) : CellAnswer{};
    }
    const auto answer_on = [&](const SiteTerrain& terrain) {
        PadSite here = m_site;
        here.terrain = &terrain;
        const Footing footing(terrain, ground_of(tanks, m_rules.pad_margin_m));
        const PadGround ground{cell, terrain.elev_m(cell), terrain.gradient(cell)};
        return answer_at(ground, footing, here, m_rules, tanks, every_rule);
    };
    if (m_site.surroundings->distance_to_roof_m(m_site.terrain->centre(cell)) > m_rules.max_fill_m) {
        return {};
    }
    if (m_site.surroundings->own().holds(cell)) {
        return answer_on(*m_site.terrain);
    }
    return answer_on(m_site.terrain->over({cell.row, cell.row + 1, cell.col, cell.col + 1}));
}

std::vector<Pad> PadSearch::eligible(const Tanks& tanks) const {
    std::vector<Pad> pads;
    const auto add = [&](const std::optional<Pad>& pad) {
        if (pad) {
            pads.push_back(*pad);
        }
    };
    if (m_site.given_cell) {
        add(cell_count() > 0 ? answer_at_given(m_site, m_rules, tanks).pad : std::nullopt);
        return pads;
    }
    const Footing footing(*m_site.terrain, ground_of(tanks, m_rules.pad_margin_m));
    for_each_open(footing.size(), [&](const OwnCell& own, bool) {
        const PadGround ground{own.cell, own.elev_m, m_site.terrain->gradient(own.cell)};
        add(answer_at(ground, footing, m_site, m_rules, tanks, every_rule).pad);
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
    if (cell_count() > 0) {
        if (const CellAnswer given = answer_at_given(m_site, m_rules, tanks); !given.pad) {
            ++removed.at(static_cast<std::size_t>(*given.reason));
        }
    }
    return removed;
}

PadReason PadSearch::main_reason(const Tanks& tanks) const {
    if (!m_site.given_cell && m_site.verdicts != nullptr) {
        if (const auto reason = main_reason_of_ground(m_site, m_rules)) {
            return *reason;
        }
    }
    return eaveshed::main_reason(removed(tanks));
}

StandingTanks PadSearch::tanks_of(const Pad& pad, const Tanks& tanks) const {
    const SiteTerrain terrain = m_site.terrain->over({pad.cell.row, pad.cell.row + 1, pad.cell.col, pad.cell.col + 1});
    const Footing footing(terrain, ground_of(tanks, m_rules.pad_margin_m));
    const PadGround ground{pad.cell, pad.ground_elev_m, terrain.gradient(pad.cell)};
    return pad.arrangement == Arrangement::row ? footing.in_a_row(ground).tanks : footing.together(ground).tanks;
}

}  // namespace eaveshed
