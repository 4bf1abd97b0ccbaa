#include "eaveshed/run/check_basis.hpp"

#include <optional>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/roof/runoff.hpp"
#include "eaveshed/site/take.hpp"
#include "eaveshed/site/water.hpp"
#include "eaveshed/terrain/terrain_metric.hpp"

namespace eaveshed {

namespace {

bool positive(const std::optional<double>& value) {
    return value && *value > 0.0;
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
    Flags flags;
    const Timeline& timeline = inputs.rain->timeline;
    if (!timeline.is_series()) {
        flags.add(project.settings.rain.dry_winter_factor ? Flag::assumed_dry_winter : Flag::mean_year_only);
    } else if (timeline.years.size() < kShortRecordYears) {
        flags.add(Flag::short_record);
    }
    const Grid& grid = inputs.terrain().grid;
    const CellSides sides = cell_sides(grid, terrain_metric(inputs), grid.extent().middle());
    if (sides.larger_m() > project.settings.terrain.coarse_cell_m) {
        flags.add(Flag::coarse_elevation);
    }
    flags.add(Flag::default_et0);  // at most: where no raster has a value
    return flags;
}

bool has_et0(const Inputs& inputs) {
    return inputs.month_field("evapotranspiration.source") != nullptr || inputs.temperature_gauges ||
           (inputs.month_field("temperature.minimum") != nullptr &&
            inputs.month_field("temperature.maximum") != nullptr);
}

// Whether something else may know better, or the roof may not come so far: a surface, elevations, a storage of use.
bool at_most(Flag flag, const Inputs& inputs) {
    return flag == Flag::default_eave || flag == Flag::assumed_use_point || flag == Flag::coarse_elevation ||
           (flag == Flag::default_et0 && has_et0(inputs));
}

GridDoor door_to(const Inputs& inputs, const Crs& crs, const Grid& grid) {
    return {inputs.footprints().info.crs, crs, grid, "footprints.source"};
}

}  // namespace

ExpectedBasis expected_basis(const Project& project, const Inputs& inputs, const Plan& plan) {
    const Flags of_all = flags_of_all(project, inputs);
    PerTerm<Flag, std::uint64_t> counts{};
    ExpectedBasis basis;
    PlanReader reader(plan);
    const GridDoor terrain = door_to(inputs, inputs.terrain().crs, inputs.terrain().grid);
    std::optional<GridDoor> rain;  // gauges have no edge
    if (!inputs.rain->gauges) {
        rain = door_to(inputs, inputs.rain->crs, inputs.rain->grid);
    }
    const Season season = project.settings.season_months();
    for (std::uint32_t i = 0; i < plan.roofs.size(); ++i) {
        const PlannedRoof& roof = plan.roofs[i];
        if (roof.status != Status::ok) {
            continue;
        }
        ++basis.roofs;
        const FootprintRecord record = reader.footprint(i);
        basis.beyond_terrain += terrain.holds(record.interior) ? 0U : 1U;
        basis.beyond_rain += !rain || rain->holds(record.interior) ? 0U : 1U;
        Flags flags = of_all;
        add_roof_flags(record.facts, project.settings, flags);
        const auto parcel = roof.parcel == kNone ? std::nullopt : std::optional(plan.parcel(roof.parcel));
        flags.add(take_flags(parcel ? &parcel->facts : nullptr, project.settings, season));
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
