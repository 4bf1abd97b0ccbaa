#include "eaveshed/parcel/parcel_system.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "added.hpp"
#include "eaveshed/parcel/parcel_questions.hpp"
#include "eaveshed/parcel/scenarios.hpp"
#include "eaveshed/site/pad_duty.hpp"
#include "parcel_roofs.hpp"
#include "sizes_at_pad.hpp"

namespace eaveshed {

namespace {

void sum_roofs(std::span<const ComputedRoof> roofs, ParcelRow& row) {
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
void fill_members(const SharedStorage& system, const TileInput& tile, const TileRules& rules,
                  std::span<const ComputedRoof> roofs, ParcelRow& row) {
    double area_m2 = 0.0;
    for (const std::size_t member : system.members) {
        const RoofRow& roof = roofs[member].result.roof;
        area_m2 += *roof.plan_area_m2;
        row.flags.add(roof.flags);
    }
    for (const Flag own : {Flag::check_permit, Flag::seldom_full, Flag::smaller_storage, Flag::short_record}) {
        row.flags = row.flags.without(own);
    }
    if (tile.climate.timeline().is_series() && system.record.counted.size() < kShortRecordYears) {
        row.flags.add(Flag::short_record);
    }
    row.plan_area_m2 = area_m2;
    const RoofRow& owner = roofs[system.owner].result.roof;
    if (system.members.size() == 1) {  // its record is the roof's own
        row.harvest_mean_m3 = owner.harvest_mean_m3;
        row.harvest_dependable_m3 = owner.harvest_dependable_m3;
    } else {
        const HarvestFigures harvest = harvest_figures(system.record, tile.climate.timeline(), rules);
        row.harvest_mean_m3 = harvest.mean_m3;
        row.harvest_dependable_m3 = harvest.dependable_m3;
    }
    row.demand_m3 = owner.demand_m3;
    if (system.smaller()) {
        row.flags.add(Flag::smaller_storage);
    }
}

// The lines from the connected roofs to the parcel's pad, and from there to the use point.
void fill_pipes(const ParcelRoofs& parcel, const SharedStorage& system, std::span<ComputedRoof> roofs,
                ParcelRows& result) {
    double lines_m = 0.0;
    std::optional<FillLine> line = FillLine::dry;
    for (const std::size_t member : system.members) {
        std::optional<PipeRow>& pipe = roofs[member].result.shared_fill;
        pipe = parcel.fill_pipe(member, system);
        pipe->level = PadLevel::parcel;
        line = together(line, pipe->fill_line);
        lines_m += *pipe->length_m;
    }
    result.feed = roofs[system.owner].site->feed_pipe(*system.sited.pad);
    result.feed->level = PadLevel::parcel;
    result.pad->fill_line = line;
    result.parcel.fill_distance_m = lines_m;
}

void fill_pad(const ParcelRoofs& parcel, const SharedStorage& system, std::span<ComputedRoof> roofs,
              ParcelRows& result) {
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
    row.road_distance_m = result.pad->road_distance_m;
    row.road_climb_m = result.pad->road_climb_m;
    row.canopy_share = result.pad->canopy_share;
    row.eave_sd_m = std::sqrt(pad.fill_sd_m * pad.fill_sd_m - pad.pad_sd_m * pad.pad_sd_m);
    fill_pipes(parcel, system, roofs, result);
}

StormOff storm_of_members(const SharedStorage& system, const TileRules& rules, std::span<const ComputedRoof> roofs) {
    StormOff storm;
    for (const std::size_t member : system.members) {
        const StormOff roof = storm_of(roofs[member].result.roof, rules);
        storm.peak_lps += roof.peak_lps;
        storm.connected_lps += roof.connected_lps;
    }
    return storm;
}

// What the storage adds to what is there already, and what is to be bought.
void fill_added(const StorageOption& option, const ExistingStorage& existing, ParcelRow& row) {
    const Added added = existing.added_by(*row.forbearance_m3, *row.source_share);
    row.added_forbearance_m3 = added.forbearance_m3;
    row.added_gain_lps = added.gain_lps;
    row.new_storage_m3 = new_storage_m3(option, row.existing_storage_m3);
    row.top_up_m3 = std::max(0.0, *row.usable_m3 - row.harvest_dependable_m3.value_or(*row.harvest_mean_m3));
}

// What it costs.
void fill_cost(const StorageOption& option, const Pad& pad, const CostSettings& prices, ParcelRow& row) {
    if (const auto lines = cost_lines(system_parts(option, pad, row), prices)) {
        row.cost = lines->total();
    }
    if (row.cost && *row.added_forbearance_m3 > 0.0) {
        row.cost_per_m3 = *row.cost / *row.added_forbearance_m3;
    }
}

std::optional<double> at_least_zero(const std::optional<double>& value) {
    return value && *value >= 0.0 ? value : std::nullopt;
}

// Where no roof has a pad, the reason is that of the first computed one; where none replaces anything, there is none.
void fill_no_pad(std::span<const ComputedRoof> roofs, ParcelRow& row) {
    const auto first = std::ranges::find_if(
        roofs, [](const ComputedRoof& roof) { return roof.ok() && roof.result.roof.no_pad_reason.has_value(); });
    row.delivery = Delivery::no_pad;
    if (first != roofs.end()) {
        row.no_pad_reason = first->result.roof.no_pad_reason;
    }
}

}  // namespace

double new_storage_m3(const StorageOption& option, const std::optional<double>& existing_m3) {
    return std::max(0.0, option.nominal_m3 - existing_m3.value_or(0.0));
}

std::optional<CostLines> cost_lines(const SystemParts& parts, const CostSettings& prices) {
    // A price is needed where there is something to pay by it.
    const auto missing = [](const std::optional<double>& price, double amount) { return amount > 0.0 && !price; };
    if (missing(parts.tank_cost, parts.new_share) || missing(prices.pad, parts.new_tanks) ||
        missing(prices.pipe_per_m, parts.pipes_m()) || missing(prices.pump, parts.pump ? 1.0 : 0.0)) {
        return std::nullopt;
    }
    return CostLines{.tanks = parts.tank_cost.value_or(0.0) * parts.new_share,
                     .pad = prices.pad.value_or(0.0) * parts.new_tanks,
                     .pipes = prices.pipe_per_m.value_or(0.0) * parts.pipes_m(),
                     .pump = parts.pump ? *prices.pump : 0.0};
}

SystemParts system_parts(const StorageOption& option, const Pad& pad, const ParcelRow& row) {
    constexpr double kWholeTank = 1e-9;  // what rounding leaves of a tank that is there is no tank to be placed
    const double new_m3 = new_storage_m3(option, row.existing_storage_m3);
    const Delivery delivery = pad.rank.delivery();
    return {.tank_cost = option.tank.cost,
            .new_share = new_m3 / option.nominal_m3,
            .new_tanks = std::max(0.0, std::ceil(new_m3 / option.tank.volume_m3 - kWholeTank)),
            .fill_lines_m = row.fill_distance_m.value(),
            .feed_pipe_m = pad.feed.pipe_m,
            .row_pipe_m = pad.row_span_m,
            .pump = delivery != Delivery::gravity && delivery != Delivery::low_pressure};
}

ParcelRows evaluate_parcel(const TileParcel& parcel, const TileInput& tile, const TileRules& rules,
                           std::span<ComputedRoof> roofs) {
    ParcelRows result;
    result.ordinal = parcel.ordinal;
    ParcelRow& row = result.parcel;
    row.existing_storage_m3 = at_least_zero(parcel.facts.existing_storage_m3);
    const auto any_ok = std::ranges::find_if(roofs, &ComputedRoof::ok);
    if (any_ok == roofs.end()) {
        row.parcel_status = ParcelStatus::no_computed_roofs;
        return result;
    }
    row.parcel_status = ParcelStatus::ok;
    row.source_share = any_ok->water.take.source_share;
    sum_roofs(roofs, row);
    const ParcelRoofs together(tile, rules, roofs);
    std::optional<SharedStorage> system = together.best_system();
    system = system ? std::move(system) : together.system_without_pad();
    if (!system) {
        row.delivery = Delivery::no_use;
        row.demand_m3 = any_ok->result.roof.demand_m3;
        row.flags = any_ok->result.roof.flags;
        return result;
    }
    const StorageOption& option = rules.options.at(system->sited.option);
    fill_members(*system, tile, rules, roofs, row);
    fill_storage(option, system->behaviour(), *row.source_share, rules, row);
    row.forbearance_term_m3 = *row.forbearance_m3 * rules.settings->season.term_years;
    const ExistingStorage existing(row.existing_storage_m3, system->record, tile.climate.timeline(), rules);
    fill_added(option, existing, row);
    if (system->sited.pad) {
        fill_pad(together, *system, roofs, result);
        fill_pad_duty(option, pad_water(row, storm_of_members(*system, rules, roofs)), rules, *result.pad);
        fill_cost(option, *system->sited.pad, rules.settings->cost, row);
        result.options = option_rows(sizes_at_pad(together, *system, rules), *system, existing, row, rules);
    } else {
        fill_no_pad(roofs, row);
    }
    for (const std::size_t member : system->members) {
        roofs[member].result.connected = true;
    }
    result.questions = parcel_questions(tile, rules, roofs, *system, result);
    result.scenarios = parcel_scenarios(parcel, tile, rules, roofs, *system, row);
    return result;
}

}  // namespace eaveshed
