#include "eaveshed/sampling/check_plausibility.hpp"

#include <algorithm>
#include <memory>
#include <numeric>
#include <utility>

#include "eaveshed/crs/grid_door.hpp"
#include "eaveshed/feed/station_network.hpp"
#include "eaveshed/inputs/input_files.hpp"
#include "eaveshed/plausible/judge_climate.hpp"
#include "eaveshed/plausible/judge_parcel_fit.hpp"
#include "eaveshed/plausible/judge_roofs.hpp"
#include "eaveshed/plausible/parcel_sample.hpp"
#include "eaveshed/progress/two_steps.hpp"
#include "eaveshed/site/climate.hpp"
#include "eaveshed/site/take.hpp"
#include "facts_look.hpp"
#include "parcel_look.hpp"
#include "roof_look.hpp"
#include "shown_id.hpp"

namespace eaveshed {

namespace {

// At most so many of the list, evenly drawn.
std::vector<std::uint32_t> evenly(const std::vector<std::uint32_t>& list, std::uint64_t most) {
    if (list.size() <= most) {
        return list;
    }
    std::vector<std::uint32_t> drawn;
    for (std::uint64_t i = 0; i < most; ++i) {
        drawn.push_back(list[i * list.size() / most]);
    }
    return drawn;
}

// Those that have an area and stand once.
std::vector<std::uint32_t> roofs_with_area(const Plan& plan) {
    std::vector<std::uint32_t> list;
    for (std::uint32_t i = 0; i < plan.roofs.size(); ++i) {
        const Status status = plan.roofs[i].status;
        if (status == Status::ok || status == Status::too_small) {
            list.push_back(i);
        }
    }
    return list;
}

std::vector<std::uint32_t> computed_of(const Plan& plan, const std::vector<std::uint32_t>& roofs) {
    std::vector<std::uint32_t> list;
    std::ranges::copy_if(roofs, std::back_inserter(list),
                         [&](std::uint32_t i) { return plan.roofs[i].status == Status::ok; });
    return list;
}

std::optional<double> positive(const std::optional<double>& value) {
    return value && *value > 0.0 ? value : std::nullopt;
}

std::vector<std::uint32_t> roofs_by_parcel(const Plan& plan) {
    std::vector<std::uint32_t> counts(plan.parcels.size());
    for (const PlannedRoof& roof : plan.roofs) {
        if (roof.parcel != kNone && roof.status == Status::ok) {
            ++counts[roof.parcel];
        }
    }
    return counts;
}

RoofSample sample_of(const Project& project, const Plan& plan, std::uint32_t ordinal, const FootprintRecord& record,
                     const std::vector<std::uint32_t>& by_parcel) {
    const PlannedRoof& planned = plan.roofs[ordinal];
    RoofSample sample;
    sample.id = shown_id(record.roof_id);
    sample.plan_area_m2 = record.plan_area_m2.value_or(0.0);
    sample.computed = planned.status == Status::ok;
    sample.eave_height_m = positive(record.facts.eave_height_m);
    sample.storeys = positive(record.facts.storeys);
    sample.connected_share = positive(record.facts.connected_share);
    const auto parcel = planned.parcel == kNone ? std::nullopt : std::optional(plan.parcel(planned.parcel));
    sample.source_unknown =
        take_flags(parcel ? &parcel->facts : nullptr, project.settings, project.settings.season_months())
            .has(Flag::unknown_source);
    if (parcel) {
        sample.parcel_roofs = by_parcel[planned.parcel];
        if (const auto area_m2 = positive(parcel->area_m2)) {
            sample.parcel_share = sample.plan_area_m2 / *area_m2;
        }
    }
    return sample;
}

// A roof at which the rasters are asked.
struct LookedAt {
    std::size_t position = 0;  // among the samples
    std::uint32_t ordinal = 0;
    FootprintRecord record;
    std::optional<Point> place;  // in the terrain's CRS, where there is ground
};

// From one square of the terrain's cells to the next, so that blocks are decoded once and not once a roof, from the
// south: the last ones are still at hand for the first tiles. Places are in one plane, that of the first roof in order.
void look_at_rasters(const Project& project, const OpenInputs& inputs, const Plan& plan, std::vector<LookedAt>& roofs,
                     std::vector<RoofSample>& samples) {
    constexpr std::int64_t kSide = 256;
    const Grid& grid = inputs.terrain().grid;
    std::vector<LookedAt*> in_order;
    in_order.reserve(roofs.size());
    for (LookedAt& roof : roofs) {
        in_order.push_back(&roof);
    }
    std::ranges::stable_sort(in_order, {}, [&](const LookedAt* roof) {
        const Box& box = plan.roof_boxes[roof->ordinal];
        const Cell cell = box.empty() ? Cell{} : grid.cell_at(Point{box.x_min, box.y_max}).value_or(Cell{});
        return std::pair(-(cell.row / kSide), cell.col / kSide);
    });
    LentTools<RoofLook> looks([&] { return std::make_unique<RoofLook>(project, inputs, plan); });
    const auto see = [&](RoofLook& look, std::size_t i) {
        const LookedAt& roof = *in_order[i];
        return look.see(roof.ordinal, roof.record, samples[roof.position]);
    };
    const auto places = seen_of_each<std::optional<Point>>(in_order.size(), looks, see);
    for (std::size_t i = 0; i < in_order.size(); ++i) {
        in_order[i]->place = places[i];
    }
    const TerrainMetric metric = terrain_metric(inputs);
    std::optional<LocalFrame> common;
    for (const LookedAt& roof : roofs) {
        if (roof.place) {
            common = common.value_or(metric.frame_at(*roof.place));
            const Point metres = common->to_metres(*roof.place);
            samples[roof.position].x_m = metres.x;
            samples[roof.position].y_m = metres.y;
        }
    }
}

BasinSample look_at_roofs(const Project& project, const OpenInputs& inputs, const Plan& plan,
                          const std::vector<std::uint32_t>& drawn, std::uint64_t of) {
    BasinSample sample;
    sample.of = of;
    sample.has_surface = inputs.raster("terrain.surface") != nullptr;
    const auto by_parcel = roofs_by_parcel(plan);
    const std::vector<std::uint32_t> seen = evenly(computed_of(plan, drawn), kSeenRoofs);
    sample.has_exclusions = !inputs.layers_of("exclusions.source").empty();
    ExclusionLook exclusions(inputs, plan);
    std::vector<LookedAt> looked_at;
    for (const std::uint32_t ordinal : drawn) {
        FootprintRecord record = plan.footprint(ordinal);
        sample.roofs.push_back(sample_of(project, plan, ordinal, record, by_parcel));
        if (std::ranges::binary_search(seen, ordinal)) {
            if (sample.has_exclusions) {
                sample.roofs.back().excluded = exclusions.holds(record.interior);
            }
            looked_at.push_back({sample.roofs.size() - 1, ordinal, std::move(record), std::nullopt});
        }
    }
    look_at_rasters(project, inputs, plan, looked_at, sample.roofs);
    return sample;
}

// January first; none where some month is missing.
using WholeYear = std::optional<std::array<double, 12>>;

WholeYear whole_year(const KnownMonths& known) {
    std::array<double, 12> months{};
    for (std::size_t i = 0; i < months.size(); ++i) {
        if (!known.at(i)) {
            return std::nullopt;
        }
        months.at(i) = *known.at(i);
    }
    return months;
}

WholeYear months_in_middle(const Inputs& inputs, const char* setting) {
    const MonthField* const field = inputs.month_field(setting);
    const VectorInfo& footprints = inputs.footprints().info;
    if (field == nullptr || footprints.extent.empty()) {
        return std::nullopt;
    }
    const GridDoor door(footprints.crs, field->crs, field->field.grid, field->where);
    return whole_year(months_at(field->field, door(footprints.extent.middle())));
}

struct MiddleTemperatures {
    std::string where;
    WholeYear minimum_c;
    WholeYear maximum_c;
};

// Of the grids, or of the gauges nearest to the middle.
MiddleTemperatures temperatures_in_middle(const OpenInputs& inputs) {
    const VectorInfo& footprints = inputs.footprints().info;
    if (!inputs.gauge_temperatures || footprints.extent.empty()) {
        const MonthField* const minimum = inputs.month_field("temperature.minimum");
        return {minimum != nullptr ? minimum->where : "", months_in_middle(inputs, "temperature.minimum"),
                months_in_middle(inputs, "temperature.maximum")};
    }
    const GaugeTemperatures& gauges = *inputs.gauge_temperatures;
    const StationNetwork network = network_of(gauges.info, footprints.crs);
    const BothTemperatures both = temperatures_at({gauges.minimum_c, gauges.maximum_c},
                                                  StationDoor(footprints.crs, network)(footprints.extent.middle()));
    return {gauges.info.where, whole_year(both.minimum_c), whole_year(both.maximum_c)};
}

// Of the grid's millimetres a day.
std::optional<double> et0_year_mm(const Inputs& inputs) {
    constexpr double kDaysOfMonth = 365.0 / 12.0;
    const auto months = months_in_middle(inputs, "evapotranspiration.source");
    return months ? std::optional(kDaysOfMonth * std::accumulate(months->begin(), months->end(), 0.0)) : std::nullopt;
}

// Area of these roofs, by parcel.
std::vector<double> roofs_m2_by_parcel(const Plan& plan, const std::vector<std::uint32_t>& roofs) {
    std::vector<double> areas(plan.parcels.size());
    for (const std::uint32_t ordinal : roofs) {
        if (const std::uint32_t parcel = plan.roofs[ordinal].parcel; parcel != kNone) {
            areas[parcel] += plan.footprint(ordinal).plan_area_m2.value_or(0.0);
        }
    }
    return areas;
}

void check_climate(const Project& project, const OpenInputs& inputs, const std::optional<MonthDepths>& mean_year_mm,
                   Findings& findings) {
    const MiddleTemperatures temperatures = temperatures_in_middle(inputs);
    const MonthField* const et0 = inputs.month_field("evapotranspiration.source");
    judge_climate({.rain = inputs.rain->where,
                   .temperature = temperatures.where,
                   .timeline = &inputs.rain->timeline,
                   .mean_mm = mean_year_mm,
                   .newest_input = newest_input_day(project, inputs),
                   .minimum_c = temperatures.minimum_c,
                   .maximum_c = temperatures.maximum_c,
                   .evapotranspiration = et0 != nullptr ? et0->where : "",
                   .et0_year_mm = et0_year_mm(inputs)},
                  project.settings.season_months(), findings);
}

}  // namespace

void check_plausibility(const Project& project, const OpenInputs& inputs, const Plan& plan,
                        const std::optional<MonthDepths>& mean_year_mm, Findings& findings) {
    const std::vector<std::uint32_t> all = roofs_with_area(plan);
    const std::vector<std::uint32_t> drawn = evenly(all, kSampledRoofs);
    const RasterInfo* const surface = inputs.raster("terrain.surface");
    const Layer* const parcels = inputs.layer("parcels.source");
    const std::vector<Layer>& exclusions = inputs.layers_of("exclusions.source");
    const JudgedInputs names{
        inputs.footprints().info.where, inputs.terrain().where, surface != nullptr ? surface->where : "",
        parcels != nullptr ? parcels->info.where : "parcels", exclusions.empty() ? "" : exclusions.front().info.where};
    judge_roofs(look_at_roofs(project, inputs, plan, drawn, all.size()), names, findings);
    if (parcels != nullptr) {
        const auto fitted = evenly(computed_of(plan, drawn), kFittedRoofs);
        judge_parcel_fit(look_at_parcels(inputs, plan, fitted), names.parcels, findings);
    }
    if (parcels != nullptr) {
        judge_parcels(look_at_parcel_facts(inputs, plan, roofs_m2_by_parcel(plan, drawn)), names.parcels, findings);
    }
    check_climate(project, inputs, mean_year_mm, findings);
}

}  // namespace eaveshed
