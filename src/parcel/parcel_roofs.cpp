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
        case StoreCriterion::feed: return a.sited.pad->rank.feed < b.sited.pad->rank.feed;
        case StoreCriterion::volume: return volume_steps(a) > volume_steps(b);
        case StoreCriterion::pressure: return pressure_steps(a) > pressure_steps(b);
        case StoreCriterion::order: break;
    }
    return false;
}

ParcelRoofs::ParcelRoofs(const TileParcel& parcel, const TileInput& tile, const TileRules& rules,
                         std::span<const ComputedRoof> roofs)
    : m_parcel(parcel), m_tile(tile), m_rules(rules), m_roofs(roofs) {
    for (const ComputedRoof& roof : roofs) {
        m_frames.push_back(tile.metric.frame_at(roof.input->interior));
        m_areas.emplace_back(roof.ok() && roof.eave ? m_frames.back().to_metres(roof.input->outline) : MultiPolygon{});
    }
}

double ParcelRoofs::fill_distance_m(std::size_t roof, const Pad& pad) const {
    return m_areas[roof].distance_to_area_within(m_frames[roof].to_metres(pad.place.crs),
                                                 m_rules.settings->siting.max_fill_m);
}

double ParcelRoofs::fill_margin_m(std::size_t roof, const OptionTried& at, double distance_m) const {
    return eaveshed::fill_margin_m(m_roofs[roof].eave->elev_m, at.pad.value().pad_elev_m,
                                   tanks_of(m_rules.options.at(at.option), *m_rules.settings), distance_m, m_rules.pad);
}

PadRow ParcelRoofs::row_of(const SharedStorage& system) const {
    const ComputedRoof& owner = m_roofs[system.owner];
    if (system.sited.option == owner.option && system.sited.pad->cell == owner.pad->cell) {
        return owner.result.pad.value();  // the roof's own pad and tanks
    }
    return site_of(system.owner).row_of(system.sited.pad.value(), m_rules.options.at(system.sited.option));
}

SiteSurvey ParcelRoofs::site_of(std::size_t roof) const {
    return SiteSurvey(*m_roofs[roof].input, &m_parcel, m_tile, m_rules, m_roofs[roof].eave.value());
}

bool ParcelRoofs::connects(std::size_t roof, const OptionTried& at) const {
    const double distance_m = fill_distance_m(roof, at.pad.value());
    return !std::isinf(distance_m) && in_steps(fill_margin_m(roof, at, distance_m)) >= 0.0;
}

Members ParcelRoofs::connected(std::size_t owner, const Members& among, const OptionTried& at) const {
    Members members;
    for (const std::size_t roof : among) {
        if (roof == owner || connects(roof, at)) {
            members.push_back(roof);
        }
    }
    return members;
}

WaterRecord ParcelRoofs::combined(const Members& members, std::size_t owner) const {
    return combined_record(members, owner,
                           [this](std::size_t roof) -> const WaterRecord& { return m_roofs[roof].water.record; });
}

OptionResult ParcelRoofs::behaviour_of(const WaterRecord& record, std::size_t option) const {
    return store_results(record, m_tile.climate.timeline(), m_rules, {&m_rules.options.at(option), 1}).front();
}

std::optional<SharedStorage> ParcelRoofs::system_at(std::size_t owner) const {
    const ComputedRoof& roof = m_roofs[owner];
    Members all;
    for (std::size_t i = 0; i < m_roofs.size(); ++i) {
        all.push_back(i);
    }
    SharedStorage system{.owner = owner,
                         .members = connected(owner, all, {roof.option, roof.pad}),
                         .record = {},
                         .sited = {roof.option, roof.pad},
                         .behaviour = {},
                         .recommended = roof.water.recommended.value_or(roof.option)};
    if (system.members.size() == 1) {
        system.record = roof.water.record;
        system.behaviour = roof.water.options.at(roof.option);
        return system;
    }
    system.record = combined(system.members, owner);
    if (system.record.counted.empty()) {
        return std::nullopt;
    }
    const auto options = store_results(system.record, m_tile.climate.timeline(), m_rules, m_rules.options);
    const auto recommended = recommended_option(options, m_rules.recommend);
    if (!recommended) {
        return std::nullopt;
    }
    if (*recommended != roof.option) {
        const SiteSurvey site = site_of(owner);
        system.sited = site_option(site.search(), m_rules, *recommended);
        if (!system.sited.pad) {
            return std::nullopt;  // a smaller storage may be a taller one
        }
    }
    system.recommended = *recommended;
    system.behaviour = options.at(system.sited.option);
    // Another tank, or another place, may be out of some roof's reach.
    if (Members still = connected(owner, system.members, system.sited); still != system.members) {
        system.members = std::move(still);
        system.record = combined(system.members, owner);
        system.behaviour = behaviour_of(system.record, system.sited.option);
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
    for (std::size_t i = 0; i < m_roofs.size(); ++i) {
        if (m_roofs[i].ok()) {
            system.members.push_back(i);
        }
    }
    system.owner = system.members.front();
    system.record = combined(system.members, system.owner);
    if (system.record.counted.empty()) {
        return std::nullopt;
    }
    const auto options = store_results(system.record, m_tile.climate.timeline(), m_rules, m_rules.options);
    const auto recommended = recommended_option(options, m_rules.recommend);
    if (!recommended) {
        return std::nullopt;
    }
    system.recommended = *recommended;
    system.sited.option = *recommended;
    system.behaviour = options.at(*recommended);
    return system;
}

}  // namespace eaveshed
