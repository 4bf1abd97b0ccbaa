#include "parcel_roofs.hpp"

#include <cmath>
#include <utility>

#include "eaveshed/siting/feed.hpp"

namespace eaveshed {

namespace {

// In steps of 1e-6, as the choice of a pad rounds: the last bits of a computation connect no roof and prefer no pad.
double in_steps(double value) {
    constexpr double kStep = 1e-6;
    return std::round(value / kStep);
}

double volume_steps(const SharedStorage& store) {
    return in_steps(store.forbearance_m3());
}

double pressure_steps(const SharedStorage& store) {
    return in_steps(store.sited.pad->feed.pressure_kpa);
}

}  // namespace

StoreCriterion deciding_criterion(const SharedStorage& a, const SharedStorage& b) {
    const PadRank& rank_a = a.sited.pad->rank;
    const PadRank& rank_b = b.sited.pad->rank;
    if (rank_a.stage != rank_b.stage) {
        return StoreCriterion::stage;
    }
    if (rank_a.lift_steps != rank_b.lift_steps) {
        return StoreCriterion::lift;
    }
    if (rank_a.feed != rank_b.feed) {
        return StoreCriterion::feed;
    }
    if (volume_steps(a) != volume_steps(b)) {
        return StoreCriterion::volume;
    }
    return pressure_steps(a) != pressure_steps(b) ? StoreCriterion::pressure : StoreCriterion::order;
}

bool better(const SharedStorage& a, const SharedStorage& b) {
    switch (deciding_criterion(a, b)) {
        case StoreCriterion::stage: return a.sited.pad->rank.stage < b.sited.pad->rank.stage;
        case StoreCriterion::lift: return a.sited.pad->rank.lift_steps < b.sited.pad->rank.lift_steps;
        case StoreCriterion::feed: return a.sited.pad->rank.feed < b.sited.pad->rank.feed;
        case StoreCriterion::volume: return volume_steps(a) > volume_steps(b);
        case StoreCriterion::pressure: return pressure_steps(a) > pressure_steps(b);
        case StoreCriterion::order: break;
    }
    return false;
}

ParcelRoofs::ParcelRoofs(const TileInput& tile, const TileRules& rules, std::span<const ComputedRoof> roofs)
    : m_tile(tile), m_rules(rules), m_roofs(roofs), m_in_metres(roofs.size()) {}

const ParcelRoofs::InMetres& ParcelRoofs::in_metres_of(std::size_t owner) const {
    std::optional<InMetres>& known = m_in_metres[m_tile.metric.geographic ? owner : 0];
    if (!known) {
        known = {m_tile.metric.frame_at(m_roofs[owner].input->interior), {}};
        for (const ComputedRoof& roof : m_roofs) {
            known->areas.emplace_back(roof.ok() && roof.eave ? known->frame.to_metres(roof.input->outline)
                                                             : MultiPolygon{});
        }
    }
    return *known;
}

double ParcelRoofs::fill_distance_m(std::size_t roof, std::size_t owner, const Pad& pad) const {
    const InMetres& metres = in_metres_of(owner);
    return metres.areas[roof].distance_to_area_within(metres.frame.to_metres(pad.place.crs),
                                                      m_rules.settings->siting.max_fill_m);
}

double ParcelRoofs::fill_margin_m(std::size_t roof, const OptionTried& at, double distance_m) const {
    return eaveshed::fill_margin_m(m_roofs[roof].eave->elev_m, at.pad.value().pad_elev_m,
                                   tanks_of(m_rules.options.at(at.option), *m_rules.settings), distance_m, m_rules.pad);
}

PadRow ParcelRoofs::row_of(const SharedStorage& system) const {
    const ComputedRoof& owner = m_roofs[system.owner];
    if (system.sited.option == owner.option && system.sited.pad->cell == owner.pad->cell &&
        system.sited.pad->arrangement == owner.pad->arrangement) {
        return owner.result.pad.value();  // the roof's own pad and tanks
    }
    return owner.site->row_of(system.sited.pad.value(), m_rules.options.at(system.sited.option));
}

PipeRow ParcelRoofs::fill_pipe(std::size_t roof, const SharedStorage& system) const {
    const Pad& pad = *system.sited.pad;
    return eaveshed::fill_pipe(
        {.roof = *m_roofs[roof].input,
         .eave_elev_m = m_roofs[roof].eave->elev_m,
         .pad = pad,
         .tanks = tanks_of(m_rules.options.at(system.sited.option), *m_rules.settings),
         .distance_m = roof == system.owner ? pad.fill_distance_m : fill_distance_m(roof, system.owner, pad),
         .metres_at = m_roofs[system.owner].input->interior},
        m_tile, *m_rules.settings);
}

bool ParcelRoofs::connects(std::size_t roof, std::size_t owner, const OptionTried& at) const {
    const double distance_m = fill_distance_m(roof, owner, at.pad.value());
    return !std::isinf(distance_m) && in_steps(fill_margin_m(roof, at, distance_m)) >= 0.0;
}

Members ParcelRoofs::connected(std::size_t owner, const Members& among, const OptionTried& at) const {
    Members members;
    for (const std::size_t roof : among) {
        if (roof == owner || connects(roof, owner, at)) {
            members.push_back(roof);
        }
    }
    return members;
}

void ParcelRoofs::join(const Members& roofs, SharedStorage& system) const {
    Joined together = joined(roofs, system.owner,
                             [this](std::size_t roof) -> const WaterRecord& { return m_roofs[roof].water.record; });
    system.members = std::move(together.members);
    system.record = std::move(together.record);
    system.options = system.members.size() == 1
                         ? m_roofs[system.owner].water.options
                         : store_results(system.record, m_tile.climate.timeline(), m_rules, m_rules.options);
}

std::optional<SharedStorage> ParcelRoofs::system_at(std::size_t owner) const {
    const ComputedRoof& roof = m_roofs[owner];
    Members all;
    for (std::size_t i = 0; i < m_roofs.size(); ++i) {
        all.push_back(i);
    }
    SharedStorage system{.owner = owner,
                         .members = {},
                         .record = {},
                         .sited = {roof.option, roof.pad},
                         .recommended = roof.water.recommended.value_or(roof.option)};
    join(connected(owner, all, system.sited), system);
    if (system.members.size() == 1) {
        return system;  // the roof's own
    }
    const auto recommended = recommended_option(system.options, m_rules.recommend);
    if (!recommended) {
        return std::nullopt;
    }
    if (*recommended != roof.option) {
        system.sited = site_option(roof.site->search(), m_rules, *recommended);
        if (!system.sited.pad) {
            return std::nullopt;  // a smaller storage may be a taller one
        }
    }
    system.recommended = *recommended;
    // Another tank, or another place, may be out of some roof's reach.
    if (const Members still = connected(owner, system.members, system.sited); still != system.members) {
        join(still, system);
    }
    return system;
}

std::optional<SharedStorage> ParcelRoofs::best_system() const {
    // Where someone has measured a place for the tank, no other place of the parcel is asked.
    const auto measured = [](const ComputedRoof& roof) { return roof.pad && roof.input->facts.pad_place(); };
    const bool only_measured = std::ranges::any_of(m_roofs, measured);
    std::optional<SharedStorage> best;
    for (std::size_t owner = 0; owner < m_roofs.size(); ++owner) {
        if (!m_roofs[owner].pad || (only_measured && !measured(m_roofs[owner]))) {
            continue;
        }
        if (auto system = system_at(owner); system && (!best || better(*system, *best))) {
            best = std::move(system);
        }
    }
    return best;
}

std::optional<SharedStorage> ParcelRoofs::system_without_pad() const {
    SharedStorage system;
    Members ok;
    for (std::size_t i = 0; i < m_roofs.size(); ++i) {
        if (m_roofs[i].ok()) {
            ok.push_back(i);
        }
    }
    system.owner = ok.front();
    join(ok, system);
    const auto recommended = recommended_option(system.options, m_rules.recommend);
    if (!recommended) {
        return std::nullopt;
    }
    system.recommended = *recommended;
    system.sited.option = *recommended;
    return system;
}

}  // namespace eaveshed
