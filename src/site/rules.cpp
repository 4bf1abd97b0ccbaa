#include "eaveshed/site/rules.hpp"

#include <algorithm>
#include <limits>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/settings/table.hpp"
#include "eaveshed/siting/pad_size.hpp"
#include "eaveshed/siting/siting_rule.hpp"
#include "eaveshed/storage/recommend.hpp"

namespace eaveshed {

namespace {

std::vector<StorageOption> options_from(const Settings& settings) {
    std::vector<StorageOption> options;
    for (const TankOption& tank : settings.tanks) {
        const double nominal = tank.nominal_m3();
        const double usable = usable_m3(nominal, tank.height_m, settings.siting.outlet_height_m);
        if (usable > settings.storage.reserve_m3) {
            options.push_back({tank, nominal, usable});
        }
    }
    std::ranges::stable_sort(options, [](const StorageOption& a, const StorageOption& b) {
        return size_key(a.nominal_m3, a.tank.count) < size_key(b.nominal_m3, b.tank.count);
    });
    return options;
}

// Exclusions have a limit each: it comes with them.
PadLimits pad_limits(const Settings& settings) {
    PadLimits limits;
    for (const SitingRule& rule : siting_rules()) {
        if (rule.limit.empty()) {
            continue;
        }
        const Setting* const setting = find_setting(rule.limit);
        if (setting == nullptr || !std::holds_alternative<Reach<double>>(setting->access)) {
            internal_error("a siting rule's limit is no number of the settings");
        }
        if (!find_section(setting->section)->repeated) {
            limits[rule.reason] = std::get<Reach<double>>(setting->access).get(settings, 0);
        }
    }
    return limits;
}

double least_core_radius_m(const std::vector<StorageOption>& options, const Settings& settings) {
    double least_m = std::numeric_limits<double>::infinity();
    for (const StorageOption& option : options) {
        least_m = std::min(least_m, ground_of(tanks_of(option, settings), settings.siting.pad_margin_m).core_radius_m);
    }
    return least_m;
}

PadRules pad_rules(const Settings& settings, const std::vector<StorageOption>& options) {
    const SitingSettings& siting = settings.siting;
    const Pipe pipe{.bore_m = siting.pipe_bore_mm / kMmPerMetre, .hazen_williams_c = siting.hazen_williams_c};
    return {.pad_margin_m = siting.pad_margin_m,
            .max_fill_m = siting.max_fill_m,
            .limits = pad_limits(settings),
            .least_core_radius_m = least_core_radius_m(options, settings),
            .fill_loss_m = siting.fill_loss_m,
            .fill_gradient = siting.fill_gradient,
            .fill_weight = siting.fill_weight,
            .outlet_height_m = siting.outlet_height_m,
            .tap_height_m = siting.tap_height_m,
            .pipe_slack = siting.pipe_slack,
            .friction_m_per_m = friction_slope(pipe, litres_per_second(siting.design_flow_lps)),
            .filter_loss_kpa = siting.filter_loss_kpa,
            .required_kpa = siting.required_kpa,
            .minimum_kpa = siting.minimum_kpa,
            .pressure_step_kpa = siting.pressure_step_kpa,
            .lift_step_m = siting.lift_step_m,
            .elevation_sd_m = 0.0};
}

}  // namespace

TileRules rules_from(const Settings& settings) {
    const SitingSettings& siting = settings.siting;
    TileRules rules;
    rules.settings = &settings;
    rules.season = settings.season_months();
    rules.options = options_from(settings);
    rules.recommend = {.storage_share = settings.storage.storage_share,
                       .marginal_yield = settings.storage.marginal_yield};
    rules.store_rule = settings.storage.rule;
    rules.eave = {.ground = siting.eave_from,
                  .surface_is_height = settings.terrain.surface_kind == SurfaceKind::height,
                  .storey_height_m = siting.storey_height_m,
                  .standard_height_m = siting.default_eave_height_m,
                  .sd_field_m = siting.eave_sd_field_m,
                  .sd_surface_m = siting.eave_sd_surface_m,
                  .sd_storeys_m = siting.eave_sd_storeys_m,
                  .sd_standard_m = siting.eave_sd_default_m};
    rules.window = {.tap_height_m = siting.tap_height_m,
                    .outlet_height_m = siting.outlet_height_m,
                    .minimum_kpa = siting.minimum_kpa,
                    .filter_loss_kpa = siting.filter_loss_kpa,
                    .fill_loss_m = siting.fill_loss_m};
    rules.pad = pad_rules(settings, rules.options);
    return rules;
}

Tanks tanks_of(const StorageOption& option, const Settings& settings) {
    return {.diameter_m = option.tank.diameter_m,
            .height_m = option.tank.height_m,
            .count = option.tank.count,
            .reserve_depth_m = reserve_depth_m(settings.storage.reserve_m3, option.usable_m3, option.tank.height_m,
                                               settings.siting.outlet_height_m)};
}

}  // namespace eaveshed
