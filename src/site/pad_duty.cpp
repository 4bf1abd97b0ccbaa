#include "eaveshed/site/pad_duty.hpp"

#include <algorithm>

#include "eaveshed/notes/load.hpp"
#include "eaveshed/notes/pumps.hpp"
#include "eaveshed/notes/storm.hpp"

namespace eaveshed {

StormOff storm_of(const RoofRow& roof, const TileRules& rules) {
    const double peak = storm_peak_lps(*roof.runoff_coefficient, rules.settings->notes.storm_mm_h, *roof.plan_area_m2);
    return {peak, peak * *roof.connected_share};
}

void fill_pad_duty(const StorageOption& option, const PadWater& water, const TileRules& rules, PadRow& pad) {
    const double efficiency = rules.settings->notes.pump_efficiency;
    pad.feed_pump_head_m = pad.feed_pump_kwh = std::nullopt;
    if (pad.feed == FeedClass::pumped) {
        pad.feed_pump_head_m = feed_pump_head_m({.required_kpa = rules.pad.required_kpa,
                                                 .filter_loss_kpa = rules.pad.filter_loss_kpa,
                                                 .static_head_m = *pad.static_head_m,
                                                 .friction_m = *pad.friction_m});
        pad.feed_pump_kwh = pump_kwh(water.forbearance_m3, *pad.feed_pump_head_m, efficiency);
    }
    pad.fill_pump_lps = pad.fill_pump_head_m = pad.fill_pump_kwh = std::nullopt;
    if (pad.delivery == Delivery::pumped_fill) {
        const double pumped_m3 = std::max(0.0, water.harvest_mean_m3 - water.overflow_mean_m3);
        pad.fill_pump_lps = water.storm.connected_lps;
        pad.fill_pump_head_m = -*pad.fill_margin_m;
        pad.fill_pump_kwh = pump_kwh(pumped_m3, *pad.fill_pump_head_m, efficiency);
    }
    pad.full_mass_t = full_mass_t(option.usable_m3);
    pad.bearing_kpa = bearing_kpa(*pad.full_mass_t, {option.tank.diameter_m, option.tank.count});
    pad.overflow_peak_lps = water.storm.peak_lps;
}

}  // namespace eaveshed
