#include "eaveshed/siting/search.hpp"

#include <algorithm>
#include <cmath>

#include "eaveshed/siting/certainty.hpp"
#include "eaveshed/siting/pad_size.hpp"

namespace eaveshed {

namespace {

constexpr double kPercent = 100.0;

std::uint64_t& count_of(RemovedCells& removed, PadReason rule) {
    return removed.at(static_cast<std::size_t>(rule));
}

}  // namespace

PadReason main_reason(const RemovedCells& removed) {
    return static_cast<PadReason>(std::ranges::max_element(removed) - removed.begin());
}

PadSearch::PadSearch(const PadSite& site, const PadRules& rules) : m_site(site), m_rules(rules) {
    if (site.given_cell) {
        measure(*site.given_cell);
        return;
    }
    const CellRange& range = site.terrain->range();
    m_cells.reserve(static_cast<std::size_t>(range.rows() * range.cols()));
    for (std::int64_t row = range.row_begin; row < range.row_end; ++row) {
        for (std::int64_t col = range.col_begin; col < range.col_end; ++col) {
            measure({row, col});
        }
    }
}

void PadSearch::measure(Cell cell) {
    const SiteTerrain& terrain = *m_site.terrain;
    const double distance = m_site.surroundings->distance_to_roof_within_m(terrain.centre(cell), m_rules.max_fill_m);
    if (distance > m_rules.max_fill_m) {
        return;
    }
    ++m_cell_count;
    const std::optional<double> slope = terrain.slope(cell);
    if (!slope) {
        ++count_of(m_removed_by_ground, PadReason::elevation_gap);
    } else if (too_steep(*slope) && !m_site.given_cell) {
        ++count_of(m_removed_by_ground, PadReason::slope);
    } else {
        m_cells.push_back({cell, *slope, distance});
    }
}

bool PadSearch::too_steep(double slope) const {
    return slope * kPercent > m_rules.max_slope_pct;
}

bool PadSearch::too_much_cut(const MeasuredCell& cell, double tank_radius_m) const {
    return cut_m(tank_radius_m, cell.slope) > m_rules.max_cut_m;
}

std::optional<PadReason> PadSearch::failed_around(const Pad& pad) const {
    const Surroundings& around = *m_site.surroundings;
    if (!around.belongs(pad.place)) {
        return PadReason::parcel;
    }
    if (around.nearer_to_boundary(pad.place, m_rules.boundary_setback_m + pad.pad_radius_m)) {
        return PadReason::boundary_setback;
    }
    if (around.nearer_to_building(pad.place, pad.fill_distance_m, m_rules.building_setback_m + pad.pad_radius_m)) {
        return PadReason::building_setback;
    }
    if (m_site.obstacles->near_stream(pad.place, pad.pad_radius_m)) {
        return PadReason::stream_setback;
    }
    return m_site.obstacles->near_exclusion(pad.place, pad.pad_radius_m) ? std::optional(PadReason::exclusion)
                                                                         : std::nullopt;
}

std::optional<PadReason> PadSearch::failed_on_site(const MeasuredCell& cell, double tank_radius_m,
                                                   const Pad& pad) const {
    if (too_steep(cell.slope)) {
        return PadReason::slope;
    }
    return too_much_cut(cell, tank_radius_m) ? std::optional(PadReason::cut) : failed_around(pad);
}

std::optional<PadReason> PadSearch::failed_by_height(const Pad& pad) const {
    if (pad.fill_margin_m < -m_rules.max_lift_m) {
        return PadReason::lift;
    }
    return pad.feed.static_head_m < -m_rules.max_feed_lift_m ? std::optional(PadReason::feed_lift) : std::nullopt;
}

Pad PadSearch::pad_at(const MeasuredCell& cell, const Tanks& tanks) const {
    const double radius_m = tank_radius_m(tanks, m_rules.pad_margin_m);
    Pad pad;
    pad.cell = cell.cell;
    pad.place = m_site.terrain->centre(cell.cell);
    pad.ground_elev_m = m_site.terrain->elev_m(cell.cell);
    pad.slope = cell.slope;
    pad.pad_elev_m = pad_elev_m(pad.ground_elev_m, radius_m, pad.slope);
    pad.cut_m = cut_m(radius_m, pad.slope);
    pad.pad_radius_m = pad_radius_m(tanks, m_rules.pad_margin_m);
    pad.fill_distance_m = cell.fill_distance_m;
    pad.fill_margin_m = fill_margin_m(m_site.eave_elev_m, pad.pad_elev_m, tanks, cell.fill_distance_m, m_rules);
    const double dx = pad.place.metres.x - m_site.use_metres.x;
    const double dy = pad.place.metres.y - m_site.use_metres.y;
    pad.use_distance_m = std::sqrt(dx * dx + dy * dy);
    pad.feed = feed_from(pad.pad_elev_m, {pad.use_distance_m, m_site.use_elev_m}, tanks, m_rules);
    const PadCertainty certainty =
        pad_certainty(m_rules.elevation_sd_m, pad.slope, m_site.smaller_cell_side_m, m_site.eave_sd_m);
    pad.pad_sd_m = certainty.pad_sd_m;
    pad.fill_sd_m = certainty.fill_sd_m;
    pad.feed_sd_kpa = certainty.feed_sd_kpa;
    pad.rank = rank_of({.fill_margin_m = pad.fill_margin_m,
                        .fill_sd_m = pad.fill_sd_m,
                        .fill_distance_m = pad.fill_distance_m,
                        .pipe_m = pad.feed.pipe_m,
                        .pressure_kpa = pad.feed.pressure_kpa,
                        .cell = pad.cell},
                       m_rules);
    if (m_site.given_cell) {
        pad.waived = failed_on_site(cell, radius_m, pad);
    }
    return pad;
}

std::vector<Pad> PadSearch::best(const Tanks& tanks, std::size_t wanted) const {
    std::vector<Pad> found;
    const double tank_radius = tank_radius_m(tanks, m_rules.pad_margin_m);
    const auto better = [](const Pad& a, const Pad& b) { return a.rank.better_than(b.rank); };
    for (const MeasuredCell& cell : m_cells) {
        if (!m_site.given_cell && too_much_cut(cell, tank_radius)) {
            continue;
        }
        const Pad pad = pad_at(cell, tanks);
        if (failed_by_height(pad) || (found.size() == wanted && !better(pad, found.back()))) {
            continue;
        }
        // The exact distances cost most and are asked last: only of a cell that would be taken.
        if (!m_site.given_cell && failed_around(pad)) {
            continue;
        }
        found.insert(std::ranges::upper_bound(found, pad, better), pad);
        if (found.size() > wanted) {
            found.pop_back();
        }
    }
    return found;
}

// The first rule that removes the cell; `pad` is what would stand there, where it comes so far.
std::optional<PadReason> PadSearch::failed(const MeasuredCell& cell, const Tanks& tanks, Pad& pad) const {
    if (m_site.given_cell) {
        pad = pad_at(cell, tanks);
        return failed_by_height(pad);
    }
    if (too_much_cut(cell, tank_radius_m(tanks, m_rules.pad_margin_m))) {
        return PadReason::cut;
    }
    pad = pad_at(cell, tanks);
    const auto around = failed_around(pad);
    return around ? around : failed_by_height(pad);
}

RemovedCells PadSearch::removed(const Tanks& tanks) const {
    RemovedCells removed = m_removed_by_ground;
    Pad pad;
    for (const MeasuredCell& cell : m_cells) {
        if (const auto rule = failed(cell, tanks, pad)) {
            ++count_of(removed, *rule);
        }
    }
    return removed;
}

std::vector<Pad> PadSearch::eligible(const Tanks& tanks) const {
    std::vector<Pad> pads;
    Pad pad;
    for (const MeasuredCell& cell : m_cells) {
        if (!failed(cell, tanks, pad)) {
            pads.push_back(pad);
        }
    }
    std::ranges::sort(pads, [](const Pad& a, const Pad& b) { return a.rank.better_than(b.rank); });
    return pads;
}

}  // namespace eaveshed
