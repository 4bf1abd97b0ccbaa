#include "eaveshed/tile/evaluate.hpp"

#include <algorithm>
#include <utility>
#include <vector>

#include "eaveshed/tile/parcel_system.hpp"
#include "eaveshed/tile/place.hpp"
#include "eaveshed/tile/rules.hpp"
#include "eaveshed/tile/scenarios.hpp"
#include "eaveshed/tile/siting.hpp"
#include "eaveshed/tile/water.hpp"

namespace eaveshed {

namespace {

bool touches_damage(const RoofInput& roof, const ParcelInput* parcel, const TileInput& tile, const Settings& settings) {
    const auto ranges = terrain_needed(roof, parcel, tile.terrain.grid(), tile.metric, settings.siting);
    if (std::ranges::any_of(ranges, [&](const CellRange& range) { return tile.terrain.damaged(range); })) {
        return true;
    }
    const auto damaged = [](const std::optional<SparseRaster>& raster, const Box& box) {
        return raster && !box.empty() && raster->damaged(raster->grid().cells_around(box));
    };
    return damaged(tile.surface, bounds(roof.surface_outline)) ||
           damaged(tile.canopy, canopy_needed(roof, tile.metric, settings));
}

}  // namespace

ComputedRoof evaluate_roof(const RoofInput& roof, const ParcelInput* parcel, const TileInput& tile,
                           const TileRules& rules) {
    ComputedRoof computed;
    computed.input = &roof;
    RoofResult& result = computed.result;
    result.ordinal = roof.ordinal;
    result.roof.status = roof.status;
    result.roof.flags = roof.flags;
    result.roof.plan_area_m2 = roof.plan_area_m2;
    if (roof.status != Status::ok) {
        return computed;
    }
    computed.water = evaluate_water(roof, parcel, *tile.climate, rules, result);
    const WaterOutcome& water = computed.water;
    if (!water.has_rain) {
        result.roof.status = Status::no_rain;
        return computed;
    }
    if (touches_damage(roof, parcel, tile, *rules.settings)) {
        result.roof.flags.add(Flag::read_error);
    }
    computed.eave = evaluate_eave(roof, tile, rules, result);
    if (!water.recommended) {
        result.roof.delivery = Delivery::no_use;
        return computed;
    }
    computed.option = *water.recommended;
    if (computed.eave) {
        const RoofSite site(roof, parcel, tile, rules, *computed.eave);
        OptionTried sited = evaluate_siting(site, rules, computed.option, result);
        computed.garden_elev_m = site.garden_elev_m();
        computed.option = sited.option;
        computed.pad = std::move(sited.pad);
    } else {
        result.roof.delivery = Delivery::no_pad;
        result.roof.no_pad_reason = PadReason::no_elevation;
    }
    fill_storage(rules.options.at(computed.option), water.options.at(computed.option), water.take.source_share, rules,
                 result.roof);
    return computed;
}

namespace {

void evaluate_site(const SiteInput& site, const TileInput& tile, const TileRules& rules, TileResult& result) {
    const ParcelInput* const parcel = site.parcel ? &*site.parcel : nullptr;
    std::vector<ComputedRoof> roofs;
    roofs.reserve(site.roofs.size());
    for (const RoofInput& roof : site.roofs) {
        roofs.push_back(evaluate_roof(roof, parcel, tile, rules));
    }
    if (parcel != nullptr) {
        result.parcels.push_back(evaluate_parcel(*parcel, tile, rules, roofs));
    }
    for (ComputedRoof& roof : roofs) {
        if (parcel == nullptr) {
            roof.result.scenarios = roof_scenarios(roof, tile, rules);
        }
        result.roofs.push_back(std::move(roof.result));
    }
}

}  // namespace

TileResult evaluate_tile(const TileInput& input, const Settings& settings) {
    const TileRules rules = rules_from(settings);
    TileResult result;
    for (const SiteInput& site : input.sites) {
        evaluate_site(site, input, rules, result);
    }
    std::ranges::sort(result.roofs, {}, &RoofResult::ordinal);
    std::ranges::sort(result.parcels, {}, &ParcelResult::ordinal);
    return result;
}

}  // namespace eaveshed
