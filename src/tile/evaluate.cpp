#include "eaveshed/tile/evaluate.hpp"

#include <algorithm>

#include "eaveshed/tile/place.hpp"
#include "eaveshed/tile/rules.hpp"
#include "eaveshed/tile/siting.hpp"
#include "eaveshed/tile/water.hpp"

namespace eaveshed {

namespace {

bool touches_damage(const RoofInput& roof, const ParcelInput* parcel, const TileInput& tile,
                    const SitingSettings& settings) {
    const auto ranges = terrain_needed(roof, parcel, tile.terrain.grid(), tile.metric, settings);
    if (std::ranges::any_of(ranges, [&](const CellRange& range) { return tile.terrain.damaged(range); })) {
        return true;
    }
    return tile.surface && !roof.surface_outline.empty() &&
           tile.surface->damaged(tile.surface->grid().cells_around(bounds(roof.surface_outline)));
}

}  // namespace

RoofResult evaluate_roof(const RoofInput& roof, const ParcelInput* parcel, const TileInput& tile,
                         const TileRules& rules) {
    RoofResult result;
    result.ordinal = roof.ordinal;
    result.roof.status = roof.status;
    result.roof.flags = roof.flags;
    result.roof.plan_area_m2 = roof.plan_area_m2;
    if (roof.status != Status::ok) {
        return result;
    }
    const WaterOutcome water = evaluate_water(roof, parcel, *tile.climate, rules, result);
    if (!water.has_rain) {
        result.roof.status = Status::no_rain;
        return result;
    }
    if (touches_damage(roof, parcel, tile, rules.settings->siting)) {
        result.roof.flags.add(Flag::read_error);
    }
    const auto eave = evaluate_eave(roof, tile, rules, result);
    if (!water.recommended) {
        result.roof.delivery = Delivery::no_use;
        return result;
    }
    std::size_t chosen = *water.recommended;
    if (eave) {
        chosen = evaluate_siting(RoofSite(roof, parcel, tile, rules, *eave), rules, chosen, result);
    } else {
        result.roof.delivery = Delivery::no_pad;
        result.roof.no_pad_reason = PadReason::no_elevation;
    }
    fill_storage(water, chosen, rules, result);
    return result;
}

TileResult evaluate_tile(const TileInput& input, const Settings& settings) {
    const TileRules rules = rules_from(settings);
    TileResult result;
    for (const SiteInput& site : input.sites) {
        for (const RoofInput& roof : site.roofs) {
            result.roofs.push_back(evaluate_roof(roof, site.parcel ? &*site.parcel : nullptr, input, rules));
        }
    }
    std::ranges::sort(result.roofs, {}, &RoofResult::ordinal);
    return result;
}

}  // namespace eaveshed
