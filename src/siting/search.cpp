#include "eaveshed/siting/search.hpp"

#include <algorithm>
#include <cmath>

#include "eaveshed/core/lanes.hpp"
#include "eaveshed/siting/certainty.hpp"
#include "eaveshed/siting/pad_size.hpp"

namespace eaveshed {

namespace {

constexpr double kPercent = 100.0;

// Whether spans hold one column after another, columns ascending.
class SpanCursor {
public:
    explicit SpanCursor(const Spans& spans) : m_next(spans.begin()), m_end(spans.end()) {}
    [[nodiscard]] bool holds(std::int64_t col) {
        while (m_next != m_end && m_next->end <= col) {
            ++m_next;
        }
        return m_next != m_end && m_next->begin <= col;
    }

private:
    Spans::const_iterator m_next;
    Spans::const_iterator m_end;
};

std::uint64_t& count_of(RemovedCells& removed, PadReason rule) {
    return removed.at(static_cast<std::size_t>(rule));
}

}  // namespace

PadReason main_reason(const RemovedCells& removed) {
    return static_cast<PadReason>(std::ranges::max_element(removed) - removed.begin());
}

bool PadSearch::too_much_cut(double slope, double tank_radius_m) const {
    return cut_m(tank_radius_m, slope) > m_rules.max_cut_m;
}

std::optional<PadReason> PadSearch::failed_by_obstacles(const Place& place, double pad_radius_m) const {
    if (m_site.obstacles->near_stream(place, pad_radius_m)) {
        return PadReason::stream_setback;
    }
    return m_site.obstacles->near_exclusion(place, pad_radius_m) ? std::optional(PadReason::exclusion) : std::nullopt;
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
    pad.ground_elev_m = cell.elev_m;
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
    return pad;
}

std::size_t PadSearch::cell_count() const {
    if (m_site.given_cell) {
        return given_is_near() ? 1 : 0;
    }
    std::int64_t cells = 0;
    Spans near;
    for (std::int64_t row = m_site.surroundings->around().row_begin; row < m_site.surroundings->around().row_end;
         ++row) {
        m_site.surroundings->near_roof(row, m_rules.max_fill_m, near);
        cells += eaveshed::cell_count(near);
    }
    return static_cast<std::size_t>(cells);
}

void PadSearch::find_open(std::int64_t row, double pad_radius_m, OpenRow& open) const {
    const Surroundings& around = *m_site.surroundings;
    around.in_parcel(row, open.cells);
    if (open.cells.empty()) {
        return;
    }
    if (!around.all_near_roof(m_rules.max_fill_m)) {
        around.near_roof(row, m_rules.max_fill_m, open.other);
        intersect(open.cells, open.other);
    }
    around.near_boundary(row, m_rules.boundary_setback_m + pad_radius_m, open.other);
    subtract(open.cells, open.other);
    if (open.cells.empty()) {
        return;
    }
    around.near_buildings(row, m_rules.building_setback_m + pad_radius_m, open.other);
    subtract(open.cells, open.other);
}

template <typename Visit>
void PadSearch::for_each_open(double pad_radius_m, Visit&& visit) const {
    const CellRange& own = m_site.surroundings->own();
    OpenRow open;
    for (std::int64_t row = own.row_begin; row < own.row_end; ++row) {
        find_open(row, pad_radius_m, open);
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
        const std::optional<double> slope = m_site.terrain->slope(cell);
        const Place place = m_site.terrain->centre(cell);
        found = slope && *slope * kPercent <= m_rules.max_slope_pct && !too_much_cut(*slope, least.tank_radius_m) &&
                m_site.surroundings->belongs(place) && !failed_by_obstacles(place, least.pad_radius_m);
        return found;
    });
    return found;
}

std::optional<PadSearch::MeasuredCell> PadSearch::measured(Cell cell, double tank_radius_m) const {
    const std::optional<double> slope = m_site.terrain->slope(cell);
    if (!slope || *slope * kPercent > m_rules.max_slope_pct || too_much_cut(*slope, tank_radius_m)) {
        return std::nullopt;
    }
    return MeasuredCell{cell, m_site.terrain->elev_m(cell), *slope,
                        m_site.surroundings->distance_to_roof_m(m_site.terrain->centre(cell))};
}

// Every quantity at its best: the steepest ground allowed for the fill, level ground for the feed, no friction and no
// distance to the roof. The order of preference follows each of them in one direction.
PadRank PadSearch::bound_at(Cell cell, double elev_m, const Tanks& tanks) const {
    const double lowest_m =
        pad_elev_m(elev_m, tank_radius_m(tanks, m_rules.pad_margin_m), m_rules.max_slope_pct / kPercent);
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

bool PadSearch::given_is_near() const {
    const Place place = m_site.terrain->centre(*m_site.given_cell);
    return m_site.surroundings->distance_to_roof_m(place) <= m_rules.max_fill_m;
}

// What a visit settles: the first of these rules that the pad fails.
std::optional<PadReason> PadSearch::failed_on_site(const Pad& pad) const {
    const Surroundings& around = *m_site.surroundings;
    Spans spans;
    const auto in = [&] { return SpanCursor(spans).holds(pad.cell.col); };
    if (pad.slope * kPercent > m_rules.max_slope_pct) {
        return PadReason::slope;
    }
    if (pad.cut_m > m_rules.max_cut_m) {
        return PadReason::cut;
    }
    around.in_parcel(pad.cell.row, spans);
    if (!in() || !around.belongs(pad.place)) {
        return PadReason::parcel;
    }
    around.near_boundary(pad.cell.row, m_rules.boundary_setback_m + pad.pad_radius_m, spans);
    if (in()) {
        return PadReason::boundary_setback;
    }
    around.near_buildings(pad.cell.row, m_rules.building_setback_m + pad.pad_radius_m, spans);
    return in() ? std::optional(PadReason::building_setback) : failed_by_obstacles(pad.place, pad.pad_radius_m);
}

std::optional<Pad> PadSearch::given_pad(const Tanks& tanks) const {
    const Cell cell = *m_site.given_cell;
    if (!given_is_near()) {
        return std::nullopt;
    }
    const SiteTerrain ground = m_site.terrain->over(m_site.surroundings->around());
    const std::optional<double> slope = ground.slope(cell);
    if (!slope) {
        return std::nullopt;
    }
    Pad pad = pad_at({cell, ground.elev_m(cell), *slope, m_site.surroundings->distance_to_roof_m(ground.centre(cell))},
                     tanks);
    pad.waived = failed_on_site(pad);
    return pad;
}

std::vector<Pad> PadSearch::best(const Tanks& tanks, std::size_t wanted) const {
    if (m_site.given_cell) {
        return eligible(tanks);
    }
    std::vector<Pad> found;
    const double tank_radius = tank_radius_m(tanks, m_rules.pad_margin_m);
    const auto better = [](const Pad& a, const Pad& b) { return a.rank.better_than(b.rank); };
    for_each_open(pad_radius_m(tanks, m_rules.pad_margin_m), [&](Cell cell) {
        const double elev_m = m_site.terrain->elev_m(cell);
        if (std::isnan(elev_m) ||
            (found.size() == wanted && !bound_at(cell, elev_m, tanks).better_than(found.back().rank))) {
            return false;
        }
        const auto ground = measured(cell, tank_radius);
        if (!ground) {
            return false;
        }
        const Pad pad = pad_at(*ground, tanks);
        if (failed_by_height(pad) || (found.size() == wanted && !better(pad, found.back()))) {
            return false;
        }
        // What costs most is asked last: only of a cell that would be taken.
        if (!m_site.surroundings->belongs(pad.place) || failed_by_obstacles(pad.place, pad.pad_radius_m)) {
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
        if (const auto pad = given_pad(tanks); pad && !failed_by_height(*pad)) {
            pads.push_back(*pad);
        }
        return pads;
    }
    const double tank_radius = tank_radius_m(tanks, m_rules.pad_margin_m);
    for_each_open(pad_radius_m(tanks, m_rules.pad_margin_m), [&](Cell cell) {
        const auto ground = measured(cell, tank_radius);
        if (!ground || !m_site.surroundings->belongs(m_site.terrain->centre(cell))) {
            return false;
        }
        if (const Pad pad = pad_at(*ground, tanks);
            !failed_by_obstacles(pad.place, pad.pad_radius_m) && !failed_by_height(pad)) {
            pads.push_back(pad);
        }
        return false;
    });
    std::ranges::sort(pads, [](const Pad& a, const Pad& b) { return a.rank.better_than(b.rank); });
    return pads;
}

// The rules after those of the shapes, of a cell that they leave open.
void PadSearch::count_open(const MeasuredCell& cell, const Tanks& tanks, RemovedCells& removed) const {
    const Pad pad = pad_at(cell, tanks);
    const auto obstacle = failed_by_obstacles(pad.place, pad.pad_radius_m);
    if (const auto rule = obstacle ? obstacle : failed_by_height(pad)) {
        ++count_of(removed, *rule);
    }
}

namespace {

// How many cells the rules of the ground remove, by the first of them that does.
struct GroundCount {
    std::uint64_t gap = 0;
    std::uint64_t slope = 0;
    std::uint64_t cut = 0;
};

EAVESHED_WIDEN GroundCount count_ground(const double* slopes, std::size_t count, double max_slope_pct, double max_cut_m,
                                        double tank_radius_m) {
    GroundCount removed;
    for (std::size_t i = 0; i < count; ++i) {
        const bool gap = std::isnan(slopes[i]);
        const bool steep = slopes[i] * kPercent > max_slope_pct;
        const bool deep = cut_m(tank_radius_m, slopes[i]) > max_cut_m;
        removed.gap += gap ? 1U : 0U;
        removed.slope += steep ? 1U : 0U;
        removed.cut += !steep && deep ? 1U : 0U;
    }
    return removed;
}

}  // namespace

// The cells of a run: those out of the parcel, mostly many, need no more than to be counted.
void PadSearch::count_run(std::int64_t row, const Span& run, std::span<const double> slopes, const Tanks& tanks,
                          const RowShapes& shapes, RemovedCells& removed) const {
    const Surroundings& around = *m_site.surroundings;
    const double tank_radius = tank_radius_m(tanks, m_rules.pad_margin_m);
    const GroundCount ground =
        count_ground(slopes.data(), slopes.size(), m_rules.max_slope_pct, m_rules.max_cut_m, tank_radius);
    count_of(removed, PadReason::elevation_gap) += ground.gap;
    count_of(removed, PadReason::slope) += ground.slope;
    count_of(removed, PadReason::cut) += ground.cut;
    std::uint64_t outside = slopes.size() - ground.gap - ground.slope - ground.cut;
    SpanCursor near_boundary(shapes.boundary);
    SpanCursor near_buildings(shapes.buildings);
    for (const Span& span : shapes.parcel) {
        for (std::int64_t col = std::max(span.begin, run.begin); col < std::min(span.end, run.end); ++col) {
            const Cell cell{row, col};
            const double slope = slopes[static_cast<std::size_t>(col - run.begin)];
            const bool passed = slope * kPercent <= m_rules.max_slope_pct && !too_much_cut(slope, tank_radius);
            if (!passed || !around.belongs(m_site.terrain->centre(cell))) {
                continue;
            }
            --outside;
            if (near_boundary.holds(col)) {
                ++count_of(removed, PadReason::boundary_setback);
            } else if (near_buildings.holds(col)) {
                ++count_of(removed, PadReason::building_setback);
            } else {
                const double distance_m = around.distance_to_roof_m(m_site.terrain->centre(cell));
                count_open({cell, m_site.terrain->elev_m(cell), slope, distance_m}, tanks, removed);
            }
        }
    }
    count_of(removed, PadReason::parcel) += outside;
}

void PadSearch::count_row(std::int64_t row, const SiteTerrain& terrain, const Tanks& tanks,
                          RemovedCells& removed) const {
    const Surroundings& around = *m_site.surroundings;
    const double pad_radius = pad_radius_m(tanks, m_rules.pad_margin_m);
    Spans near;
    RowShapes shapes;
    around.near_roof(row, m_rules.max_fill_m, near);
    around.in_parcel(row, shapes.parcel);
    if (!shapes.parcel.empty()) {
        around.near_boundary(row, m_rules.boundary_setback_m + pad_radius, shapes.boundary);
        around.near_buildings(row, m_rules.building_setback_m + pad_radius, shapes.buildings);
    }
    std::vector<double> slopes;
    for (const Span& span : near) {
        slopes.resize(static_cast<std::size_t>(span.end - span.begin));
        terrain.slopes(row, span.begin, slopes);
        count_run(row, span, slopes, tanks, shapes, removed);
    }
}

void PadSearch::count_given(const Tanks& tanks, RemovedCells& removed) const {
    if (!given_is_near()) {
        return;
    }
    const auto pad = given_pad(tanks);
    if (const auto rule = pad ? failed_by_height(*pad) : std::optional(PadReason::elevation_gap)) {
        ++count_of(removed, *rule);
    }
}

RemovedCells PadSearch::removed(const Tanks& tanks) const {
    RemovedCells removed{};
    if (m_site.given_cell) {
        count_given(tanks, removed);
        return removed;
    }
    const CellRange& around = m_site.surroundings->around();
    const SiteTerrain everywhere = m_site.terrain->over(around);
    for (std::int64_t row = around.row_begin; row < around.row_end; ++row) {
        count_row(row, everywhere, tanks, removed);
    }
    return removed;
}

}  // namespace eaveshed
