#include "eaveshed/tile/evaluate.hpp"

#include <algorithm>
#include <utility>
#include <vector>

#include "eaveshed/core/lanes.hpp"
#include "eaveshed/rank/questions.hpp"
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

// Where the rain and the take let a storage make sense: the eave, the pad and the storage columns.
void place_storage(const RoofInput& roof, const ParcelInput* parcel, const TileInput& tile, const TileRules& rules,
                   ComputedRoof& computed) {
    RoofResult& result = computed.result;
    const WaterOutcome& water = computed.water;
    if (touches_damage(roof, parcel, tile, *rules.settings)) {
        result.roof.flags.add(Flag::read_error);
    }
    computed.eave = evaluate_eave(roof, tile, rules, result);
    if (!water.recommended) {
        result.roof.delivery = Delivery::no_use;
        return;
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
}

// The questions about a parcel ask what else could run off roofs whose material is not known.
std::vector<double> runoff_asked_about(const ParcelInput* parcel) {
    if (parcel == nullptr) {
        return {};
    }
    const QuestionWords& material = words_of(Question::material);
    return {material.low, material.high};
}

}  // namespace

std::vector<ComputedRoof> evaluate_roofs(std::span<const RoofOfSite> roofs, const TileInput& tile,
                                         const TileRules& rules) {
    std::vector<ComputedRoof> computed(roofs.size());
    std::vector<WaterTask> tasks;
    std::vector<std::size_t> task_roofs;
    for (std::size_t i = 0; i < roofs.size(); ++i) {
        const RoofInput& roof = *roofs[i].roof;
        computed[i].input = &roof;
        RoofResult& result = computed[i].result;
        result.ordinal = roof.ordinal;
        result.roof.status = roof.status;
        result.roof.flags = roof.flags;
        result.roof.plan_area_m2 = roof.plan_area_m2;
        if (roof.status == Status::ok) {
            tasks.push_back({&roof, roofs[i].parcel, &result, runoff_asked_about(roofs[i].parcel)});
            task_roofs.push_back(i);
        }
    }
    std::vector<WaterOutcome> waters = evaluate_waters(tasks, tile.roof_climate(), rules);
    for (std::size_t task = 0; task < tasks.size(); ++task) {
        const std::size_t i = task_roofs[task];
        computed[i].water = std::move(waters[task]);
        if (computed[i].water.has_rain) {
            place_storage(*roofs[i].roof, roofs[i].parcel, tile, rules, computed[i]);
        } else {
            computed[i].result.roof.status = Status::no_rain;
        }
    }
    return computed;
}

std::vector<ComputedRoof> evaluate_roofs(const std::vector<RoofInput>& roofs, const ParcelInput& parcel,
                                         const TileInput& tile, const TileRules& rules) {
    std::vector<RoofOfSite> of_site;
    for (const RoofInput& roof : roofs) {
        of_site.push_back({&roof, &parcel});
    }
    return evaluate_roofs(of_site, tile, rules);
}

ComputedRoof evaluate_roof(const RoofInput& roof, const ParcelInput* parcel, const TileInput& tile,
                           const TileRules& rules) {
    const RoofOfSite of_site{&roof, parcel};
    return std::move(evaluate_roofs({&of_site, 1}, tile, rules).front());
}

namespace {

// `roofs`: the site's own.
void finish_site(const SiteInput& site, std::span<ComputedRoof> roofs, const TileInput& tile, const TileRules& rules,
                 TileResult& result) {
    if (site.parcel) {
        result.parcels.push_back(evaluate_parcel(*site.parcel, tile, rules, roofs));
    }
    for (ComputedRoof& roof : roofs) {
        if (!site.parcel) {
            roof.result.scenarios = roof_scenarios(roof, tile, rules);
        }
        result.roofs.push_back(std::move(roof.result));
    }
}

// Sites whose roofs together fill the lanes a few times over, so that few lanes stay empty.
void evaluate_sites(std::span<const SiteInput> sites, const TileInput& tile, const TileRules& rules,
                    TileResult& result) {
    std::vector<RoofOfSite> of_sites;
    for (const SiteInput& site : sites) {
        for (const RoofInput& roof : site.roofs) {
            of_sites.push_back({&roof, site.parcel ? &*site.parcel : nullptr});
        }
    }
    std::vector<ComputedRoof> roofs = evaluate_roofs(of_sites, tile, rules);
    std::size_t first = 0;
    for (const SiteInput& site : sites) {
        finish_site(site, std::span(roofs).subspan(first, site.roofs.size()), tile, rules, result);
        first += site.roofs.size();
    }
}

}  // namespace

TileResult evaluate_tile(const TileInput& input, const Settings& settings) {
    constexpr std::size_t kRoofsAtOnce = 4 * kLanes;
    const TileRules rules = rules_from(settings);
    TileResult result;
    const std::span<const SiteInput> sites(input.sites);
    for (std::size_t first = 0; first < sites.size();) {
        std::size_t roofs = 0;
        std::size_t end = first;
        while (end < sites.size() && roofs < kRoofsAtOnce) {
            roofs += sites[end++].roofs.size();
        }
        evaluate_sites(sites.subspan(first, end - first), input, rules, result);
        first = end;
    }
    std::ranges::sort(result.roofs, {}, &RoofResult::ordinal);
    std::ranges::sort(result.parcels, {}, &ParcelResult::ordinal);
    return result;
}

}  // namespace eaveshed
