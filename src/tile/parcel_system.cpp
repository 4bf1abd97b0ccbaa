#include "eaveshed/tile/parcel_system.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "eaveshed/rain/years.hpp"
#include "eaveshed/shape/prepared_area.hpp"
#include "eaveshed/siting/feed.hpp"
#include "eaveshed/tile/parcel_questions.hpp"
#include "eaveshed/tile/roof_site.hpp"
#include "eaveshed/tile/scenarios.hpp"
#include "eaveshed/tile/siting.hpp"
#include "parcel_store.hpp"

namespace eaveshed {

namespace {

// One parcel's roofs and the questions asked of them together.
class ParcelRoofs {
public:
    ParcelRoofs(const ParcelInput& parcel, const TileInput& tile, const TileRules& rules,
                const std::vector<ComputedRoof>& roofs)
        : m_parcel(parcel), m_tile(tile), m_rules(rules), m_roofs(roofs) {
        for (const ComputedRoof& roof : roofs) {
            m_frames.push_back(tile.metric.frame_at(roof.input->interior));
            m_areas.emplace_back(roof.ok() && roof.eave ? m_frames.back().to_metres(roof.input->outline)
                                                        : MultiPolygon{});
        }
    }

    [[nodiscard]] std::optional<ParcelStore> best_system() const;
    // All computed roofs together, without a pad.
    [[nodiscard]] std::optional<ParcelStore> system_without_pad() const;
    // Horizontal distance from the roof to the pad; infinite beyond max_fill_m.
    [[nodiscard]] double fill_distance_m(std::size_t roof, const Pad& pad) const {
        return m_areas[roof].distance_to_area_within(m_frames[roof].to_metres(pad.place.crs),
                                                     m_rules.settings->siting.max_fill_m);
    }
    [[nodiscard]] PadRow row_of(const ParcelStore& system) const;

private:
    [[nodiscard]] RoofSite site_of(std::size_t roof) const {
        return RoofSite(*m_roofs[roof].input, &m_parcel, m_tile, m_rules, m_roofs[roof].eave.value());
    }
    [[nodiscard]] bool connects(std::size_t roof, const Pad& pad, std::size_t option) const;
    [[nodiscard]] Members connected(std::size_t owner, const Members& among, const OptionTried& at) const;
    [[nodiscard]] StoreRecord combined(const Members& members, std::size_t owner) const;
    [[nodiscard]] OptionResult behaviour_of(const StoreRecord& record, std::size_t option) const;
    [[nodiscard]] std::optional<ParcelStore> system_at(std::size_t owner) const;

    const ParcelInput& m_parcel;
    const TileInput& m_tile;
    const TileRules& m_rules;
    const std::vector<ComputedRoof>& m_roofs;
    std::vector<LocalFrame> m_frames;
    std::vector<PreparedArea> m_areas;  // in each roof's own metres; empty for roofs that cannot connect
};

// In steps of 1e-6, as the choice of a pad rounds: the last bits of a computation connect no roof and prefer no pad.
double in_steps(double value) {
    constexpr double kStep = 1e-6;
    return std::round(value / kStep);
}

bool ParcelRoofs::connects(std::size_t roof, const Pad& pad, std::size_t option) const {
    const double distance_m = fill_distance_m(roof, pad);
    if (std::isinf(distance_m)) {
        return false;
    }
    return in_steps(fill_margin_m(m_roofs[roof].eave->elev_m, pad.pad_elev_m,
                                  tanks_of(m_rules.options.at(option), *m_rules.settings), distance_m, m_rules.pad)) >=
           0.0;
}

Members ParcelRoofs::connected(std::size_t owner, const Members& among, const OptionTried& at) const {
    Members members;
    for (const std::size_t roof : among) {
        if (roof == owner || connects(roof, at.pad.value(), at.option)) {
            members.push_back(roof);
        }
    }
    return members;
}

StoreRecord ParcelRoofs::combined(const Members& members, std::size_t owner) const {
    return combined_record(members, owner,
                           [this](std::size_t roof) -> const StoreRecord& { return m_roofs[roof].water.record; });
}

OptionResult ParcelRoofs::behaviour_of(const StoreRecord& record, std::size_t option) const {
    return store_results(record, m_tile.climate->timeline, m_rules, {&m_rules.options.at(option), 1}).front();
}

std::optional<ParcelStore> ParcelRoofs::system_at(std::size_t owner) const {
    const ComputedRoof& roof = m_roofs[owner];
    Members all;
    for (std::size_t i = 0; i < m_roofs.size(); ++i) {
        all.push_back(i);
    }
    ParcelStore system{.owner = owner,
                       .members = connected(owner, all, {roof.option, roof.pad}),
                       .record = {},
                       .sited = {roof.option, roof.pad},
                       .behaviour = {},
                       .smaller = roof.result.roof.flags.has(Flag::smaller_storage)};
    if (system.members.size() == 1) {
        system.record = roof.water.record;
        system.behaviour = roof.water.options.at(roof.option);
        return system;
    }
    system.record = combined(system.members, owner);
    if (system.record.counted.empty()) {
        return std::nullopt;
    }
    const auto options = store_results(system.record, m_tile.climate->timeline, m_rules, m_rules.options);
    const auto recommended = recommended_option(options, m_rules.settings->storage.storage_share);
    if (!recommended) {
        return std::nullopt;
    }
    if (*recommended != roof.option) {
        const RoofSite site = site_of(owner);
        system.sited = site_option(site.search(), m_rules, *recommended);
    }
    system.smaller = system.sited.option != *recommended;
    system.behaviour = options.at(system.sited.option);
    // Another tank, or another place, may be out of some roof's reach.
    if (Members still = connected(owner, system.members, system.sited); still != system.members) {
        system.members = std::move(still);
        system.record = combined(system.members, owner);
        system.behaviour = behaviour_of(system.record, system.sited.option);
    }
    return system;
}

PadRow ParcelRoofs::row_of(const ParcelStore& system) const {
    const ComputedRoof& owner = m_roofs[system.owner];
    if (system.sited.option == owner.option && system.sited.pad->cell == owner.pad->cell) {
        return owner.result.pad.value();  // the roof's own pad and tanks
    }
    return site_of(system.owner).row_of(system.sited.pad.value(), m_rules.options.at(system.sited.option));
}

bool better(const ParcelStore& a, const ParcelStore& b) {
    const PadRank& rank_a = a.sited.pad->rank;
    const PadRank& rank_b = b.sited.pad->rank;
    if (rank_a.stage != rank_b.stage) {
        return rank_a.stage < rank_b.stage;
    }
    if (rank_a.feed != rank_b.feed) {
        return rank_a.feed < rank_b.feed;
    }
    const double volume_a = in_steps(a.behaviour.behaviour.forbearance_m3());
    const double volume_b = in_steps(b.behaviour.behaviour.forbearance_m3());
    if (volume_a != volume_b) {
        return volume_a > volume_b;
    }
    return in_steps(a.sited.pad->feed.pressure_kpa) > in_steps(b.sited.pad->feed.pressure_kpa);
}

std::optional<ParcelStore> ParcelRoofs::best_system() const {
    // Where someone has measured a place for the tank, no other place of the parcel is asked.
    const auto measured = [](const ComputedRoof& roof) { return roof.pad && roof.input->pad_place; };
    const bool only_measured = std::ranges::any_of(m_roofs, measured);
    std::optional<ParcelStore> best;
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

std::optional<ParcelStore> ParcelRoofs::system_without_pad() const {
    ParcelStore system;
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
    const auto options = store_results(system.record, m_tile.climate->timeline, m_rules, m_rules.options);
    const auto recommended = recommended_option(options, m_rules.settings->storage.storage_share);
    if (!recommended) {
        return std::nullopt;
    }
    system.sited.option = *recommended;
    system.behaviour = options.at(*recommended);
    return system;
}

void sum_roofs(const std::vector<ComputedRoof>& roofs, ParcelRow& row) {
    double area_m2 = 0.0;
    double harvest_m3 = 0.0;
    for (const ComputedRoof& roof : roofs) {
        if (roof.ok()) {
            area_m2 += *roof.result.roof.plan_area_m2;
            harvest_m3 += *roof.result.roof.harvest_mean_m3;
        }
    }
    row.roofs_area_m2 = area_m2;
    row.roofs_harvest_mean_m3 = harvest_m3;
}

// What follows from the roofs that fill the storage together.
void fill_members(const ParcelStore& system, const TileInput& tile, const TileRules& rules,
                  const std::vector<ComputedRoof>& roofs, ParcelRow& row) {
    double area_m2 = 0.0;
    for (const std::size_t member : system.members) {
        const RoofRow& roof = roofs[member].result.roof;
        area_m2 += *roof.plan_area_m2;
        row.flags.add(roof.flags.without(Flag::smaller_storage).without(Flag::check_permit));
    }
    row.plan_area_m2 = area_m2;
    const HarvestFigures harvest = harvest_figures(system.record, tile.climate->timeline, rules);
    row.harvest_mean_m3 = harvest.mean_m3;
    row.harvest_dependable_m3 = harvest.dependable_m3;
    row.demand_m3 = roofs[system.owner].result.roof.demand_m3;
    if (system.smaller) {
        row.flags.add(Flag::smaller_storage);
    }
}

void fill_pad(const ParcelRoofs& parcel, const ParcelStore& system, const std::vector<ComputedRoof>& roofs,
              ParcelResult& result) {
    const Pad& pad = *system.sited.pad;
    result.pad = parcel.row_of(system);
    result.pad->level = PadLevel::parcel;
    result.pad_roof = roofs[system.owner].result.ordinal;
    ParcelRow& row = result.parcel;
    row.delivery = result.pad->delivery;
    row.gravity_check = result.pad->gravity_check;
    row.gravity_probability = result.pad->gravity_probability;
    row.pad_elev_m = result.pad->pad_elev_m;
    row.fill_margin_m = result.pad->fill_margin_m;
    row.pressure_kpa = result.pad->pressure_kpa;
    row.pipe_m = result.pad->pipe_m;
    row.pad_sd_m = pad.pad_sd_m;
    row.eave_sd_m = std::sqrt(pad.fill_sd_m * pad.fill_sd_m - pad.pad_sd_m * pad.pad_sd_m);
    double lines_m = 0.0;
    for (const std::size_t member : system.members) {
        lines_m += member == system.owner ? pad.fill_distance_m : parcel.fill_distance_m(member, pad);
    }
    row.fill_distance_m = lines_m;
}

// What is there already, what is to be bought and what it costs.
void fill_cost(const StorageOption& option, const CostSettings& prices, ParcelRow& row) {
    row.new_storage_m3 = std::max(0.0, *row.storage_m3 - row.existing_storage_m3.value_or(0.0));
    row.top_up_m3 = std::max(0.0, *row.usable_m3 - row.harvest_dependable_m3.value_or(*row.harvest_mean_m3));
    if (row.delivery == Delivery::no_pad) {
        return;
    }
    row.cost = system_cost({.tank_cost = option.tank.cost,
                            .new_share = *row.new_storage_m3 / *row.storage_m3,
                            .pipes_m = *row.fill_distance_m + *row.pipe_m,
                            .pump = row.delivery != Delivery::gravity && row.delivery != Delivery::low_pressure},
                           prices);
    if (row.cost && *row.forbearance_m3 > 0.0) {
        row.cost_per_m3 = *row.cost / *row.forbearance_m3;
    }
}

std::optional<double> at_least_zero(const std::optional<double>& value) {
    return value && *value >= 0.0 ? value : std::nullopt;
}

// Where no roof has a pad, the reason is that of the first computed one; where none replaces anything, there is none.
void fill_no_pad(const std::vector<ComputedRoof>& roofs, ParcelRow& row) {
    const auto first = std::ranges::find_if(
        roofs, [](const ComputedRoof& roof) { return roof.ok() && roof.result.roof.no_pad_reason.has_value(); });
    row.delivery = Delivery::no_pad;
    if (first != roofs.end()) {
        row.no_pad_reason = first->result.roof.no_pad_reason;
    }
}

}  // namespace

std::optional<double> system_cost(const SystemParts& parts, const CostSettings& prices) {
    if (!parts.tank_cost || !prices.pad || !prices.pipe_per_m || (parts.pump && !prices.pump)) {
        return std::nullopt;
    }
    const double pad = parts.new_share > 0.0 ? *prices.pad : 0.0;
    return *parts.tank_cost * parts.new_share + pad + *prices.pipe_per_m * parts.pipes_m +
           (parts.pump ? *prices.pump : 0.0);
}

ParcelResult evaluate_parcel(const ParcelInput& parcel, const TileInput& tile, const TileRules& rules,
                             std::vector<ComputedRoof>& roofs) {
    ParcelResult result;
    result.ordinal = parcel.ordinal;
    ParcelRow& row = result.parcel;
    row.existing_storage_m3 = at_least_zero(parcel.existing_storage_m3);
    const auto any_ok = std::ranges::find_if(roofs, &ComputedRoof::ok);
    if (any_ok == roofs.end()) {
        row.parcel_status = ParcelStatus::no_computed_roofs;
        return result;
    }
    row.parcel_status = ParcelStatus::ok;
    row.source_share = any_ok->water.take.source_share;
    sum_roofs(roofs, row);
    const ParcelRoofs together(parcel, tile, rules, roofs);
    std::optional<ParcelStore> system = together.best_system();
    system = system ? std::move(system) : together.system_without_pad();
    if (!system) {
        row.delivery = Delivery::no_use;
        row.demand_m3 = any_ok->result.roof.demand_m3;
        row.flags = any_ok->result.roof.flags;
        return result;
    }
    const StorageOption& option = rules.options.at(system->sited.option);
    fill_members(*system, tile, rules, roofs, row);
    fill_storage(option, system->behaviour, *row.source_share, rules, row);
    row.forbearance_term_m3 = *row.forbearance_m3 * rules.settings->season.term_years;
    if (system->sited.pad) {
        fill_pad(together, *system, roofs, result);
    } else {
        fill_no_pad(roofs, row);
    }
    fill_cost(option, rules.settings->cost, row);
    for (const std::size_t member : system->members) {
        roofs[member].result.connected = true;
    }
    result.questions = parcel_questions(tile, rules, roofs, *system, result);
    result.scenarios = parcel_scenarios(parcel, tile, rules, roofs, *system, row);
    return result;
}

}  // namespace eaveshed
