#include "eaveshed/run/check_basis.hpp"

#include <optional>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/demand/source_share.hpp"
#include "eaveshed/roof/runoff.hpp"
#include "eaveshed/site/take.hpp"
#include "eaveshed/siting/terrain_metric.hpp"

namespace eaveshed {

namespace {

bool not_negative(const std::optional<double>& value) {
    return value && *value >= 0.0;
}

bool positive(const std::optional<double>& value) {
    return value && *value > 0.0;
}

// Of what a parcel's data say; null without a parcel.
// method.md 4.
void add_take_flags(const ParcelFacts* parcel, const Settings& settings, Flags& flags) {
    static const ParcelFacts kNothing;
    const ParcelFacts& facts = parcel != nullptr ? *parcel : kNothing;
    if (!not_negative(facts.season_use_m3) && !(not_negative(facts.people) && not_negative(facts.irrigated_area_m2))) {
        flags.add(Flag::default_demand);
    }
    const WaterSource source = parcel != nullptr
                                   ? water_source(facts.water_source, settings.parcels.default_water_source)
                                   : WaterSource::unknown;
    const SourceShare share =
        source_share(source, facts.source_share,
                     {.distance_m = facts.stream_distance_m,
                      .transmissivity_m2_day = settings.demand.transmissivity_m2_day,
                      .storage_coefficient = settings.demand.storage_coefficient},
                     settings.demand.shallow_well_share, settings.season_months().forbear.mean_year_days());
    if (share.unknown) {
        flags.add(Flag::unknown_source);
    }
    if (share.basis == ShareBasis::assumed_well) {
        flags.add(Flag::assumed_share);
    }
}

void add_roof_flags(const RoofFacts& facts, const Settings& settings, Flags& flags) {
    const HarvestSettings& harvest = settings.harvest;
    if (!facts.runoff_coefficient &&
        runoff_coefficient(facts.material, harvest.runoff_coefficient, harvest.default_runoff_coefficient).is_default) {
        flags.add(Flag::default_material);
    }
    if (connected_share(facts.connected_share, harvest.default_connected_share).is_default) {
        flags.add(Flag::default_connected);
    }
    if (!facts.eave_elev_m && !positive(facts.eave_height_m) && !positive(facts.storeys)) {
        flags.add(Flag::default_eave);
    }
}

// What holds of every roof: the rain record and the cells of the rasters.
Flags flags_of_all(const Project& project, const Inputs& inputs) {
    constexpr std::size_t kShortYears = 10;
    Flags flags;
    const Timeline& timeline = inputs.rain->timeline;
    if (!timeline.is_series()) {
        flags.add(project.settings.rain.dry_winter_factor ? Flag::assumed_dry_winter : Flag::mean_year_only);
    } else if (timeline.years.size() < kShortYears) {
        flags.add(Flag::short_record);
    }
    const Grid& grid = inputs.terrain().grid;
    const Box extent = grid.extent();
    const CellSides sides = cell_sides(grid, terrain_metric(inputs),
                                       {(extent.x_min + extent.x_max) / 2.0, (extent.y_min + extent.y_max) / 2.0});
    if (sides.larger_m() > project.settings.terrain.coarse_cell_m) {
        flags.add(Flag::coarse_elevation);
    }
    flags.add(Flag::default_et0);  // at most: where no raster has a value
    return flags;
}

bool has_et0(const Inputs& inputs) {
    return inputs.month_field("evapotranspiration.source") != nullptr ||
           (inputs.month_field("temperature.minimum") != nullptr &&
            inputs.month_field("temperature.maximum") != nullptr);
}

// Whether something else may know better, or the roof may not come so far: a surface, elevations, a storage of use.
bool at_most(Flag flag, const Inputs& inputs) {
    return flag == Flag::default_eave || flag == Flag::assumed_use_point || flag == Flag::coarse_elevation ||
           (flag == Flag::default_et0 && has_et0(inputs));
}

}  // namespace

ExpectedBasis expected_basis(const Project& project, const Inputs& inputs, const Plan& plan) {
    const Flags of_all = flags_of_all(project, inputs);
    PerTerm<Flag, std::uint64_t> counts{};
    ExpectedBasis basis;
    PlanReader reader(plan);
    for (std::uint32_t i = 0; i < plan.roofs.size(); ++i) {
        const PlannedRoof& roof = plan.roofs[i];
        if (roof.status != Status::ok) {
            continue;
        }
        ++basis.roofs;
        Flags flags = of_all;
        add_roof_flags(reader.footprint(i).facts, project.settings, flags);
        const auto parcel = roof.parcel == kNone ? std::nullopt : std::optional(plan.parcel(roof.parcel));
        add_take_flags(parcel ? &parcel->facts : nullptr, project.settings, flags);
        if (roof.parcel == kNone || !plan.parcels[roof.parcel].use_point) {
            flags.add(Flag::assumed_use_point);
        }
        for (std::size_t k = 0; k < kFlagCount; ++k) {
            counts.at(k) += flags.has(static_cast<Flag>(k)) ? 1U : 0U;
        }
    }
    for (const Assumption& assumption : kAssumptions) {
        if (const std::uint64_t roofs = counts.at(static_cast<std::size_t>(assumption.flag)); roofs > 0) {
            basis.assumed.push_back({&assumption, roofs, at_most(assumption.flag, inputs)});
        }
    }
    return basis;
}

}  // namespace eaveshed
