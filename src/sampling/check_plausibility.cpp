#include "eaveshed/sampling/check_plausibility.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "eaveshed/inputs/input_files.hpp"
#include "eaveshed/plausible/judge_climate.hpp"
#include "eaveshed/plausible/judge_parcel_fit.hpp"
#include "eaveshed/plausible/judge_roofs.hpp"
#include "eaveshed/plausible/parcel_sample.hpp"
#include "eaveshed/rain/sampling.hpp"
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

BasinSample look_at_roofs(const Project& project, const OpenInputs& inputs, const Plan& plan,
                          const std::vector<std::uint32_t>& drawn, std::uint64_t of) {
    BasinSample sample;
    sample.of = of;
    sample.has_surface = inputs.raster("terrain.surface") != nullptr;
    const auto by_parcel = roofs_by_parcel(plan);
    const std::vector<std::uint32_t> seen = evenly(computed_of(plan, drawn), kSeenRoofs);
    sample.has_exclusions = !inputs.layers_of("exclusions.source").empty();
    RoofLook look(project, inputs, plan);
    ExclusionLook exclusions(inputs, plan);
    for (const std::uint32_t ordinal : drawn) {
        const FootprintRecord record = plan.footprint(ordinal);
        RoofSample& roof = sample.roofs.emplace_back(sample_of(project, plan, ordinal, record, by_parcel));
        if (std::ranges::binary_search(seen, ordinal)) {
            look.see(ordinal, record, roof);
            if (sample.has_exclusions) {
                roof.excluded = exclusions.holds(record.interior);
            }
        }
    }
    return sample;
}

// January first; none where some month is missing.
std::optional<std::array<double, 12>> months_in_middle(const Inputs& inputs, const char* setting) {
    const MonthField* const field = inputs.month_field(setting);
    const VectorInfo& footprints = inputs.footprints().info;
    if (field == nullptr || footprints.extent.empty()) {
        return std::nullopt;
    }
    const Box& box = footprints.extent;
    auto place = Transform(footprints.crs, field->crs,
                           field->where)(Point{(box.x_min + box.x_max) / 2.0, (box.y_min + box.y_max) / 2.0});
    if (place && field->crs.is_geographic()) {
        place = turned_into(field->field.grid, *place);
    }
    const auto series = place ? sample_series(field->field, *place) : std::nullopt;
    std::array<double, 12> months{};
    if (!series || series->values.size() != months.size() ||
        std::ranges::any_of(series->values, [](double value) { return std::isnan(value); })) {
        return std::nullopt;
    }
    std::ranges::copy(series->values, months.begin());
    return months;
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

void check_climate(const Project& project, const Inputs& inputs, const std::optional<MonthDepths>& mean_year_mm,
                   Findings& findings) {
    const MonthField* const minimum = inputs.month_field("temperature.minimum");
    const MonthField* const et0 = inputs.month_field("evapotranspiration.source");
    judge_climate({.rain = inputs.rain->where,
                   .temperature = minimum != nullptr ? minimum->where : "",
                   .timeline = &inputs.rain->timeline,
                   .mean_mm = mean_year_mm,
                   .newest_input = newest_input_day(project, inputs),
                   .minimum_c = months_in_middle(inputs, "temperature.minimum"),
                   .maximum_c = months_in_middle(inputs, "temperature.maximum"),
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
