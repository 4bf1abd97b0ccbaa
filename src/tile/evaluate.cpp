#include "eaveshed/tile/evaluate.hpp"

#include <algorithm>
#include <utility>
#include <vector>

#include "eaveshed/core/lanes.hpp"
#include "eaveshed/parcel/parcel_system.hpp"
#include "eaveshed/parcel/scenarios.hpp"
#include "eaveshed/site/evaluate_roofs.hpp"
#include "eaveshed/site/rules.hpp"
#include "eaveshed/siting/ground_verdicts.hpp"

namespace eaveshed {

namespace {

// `roofs`: the site's own.
void finish_site(const TileSite& site, std::span<ComputedRoof> roofs, const TileInput& tile, const TileRules& rules,
                 TileRows& result) {
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
void evaluate_sites(std::span<const TileSite> sites, const TileInput& tile, const TileRules& rules,
                    GroundVerdicts& verdicts, TileRows& result) {
    std::vector<RoofTask> of_sites;
    for (const TileSite& site : sites) {
        for (const TileRoof& roof : site.roofs) {
            of_sites.push_back({&roof, site.parcel ? &*site.parcel : nullptr});
        }
    }
    std::vector<ComputedRoof> roofs = evaluate_roofs(of_sites, tile, rules, &verdicts);
    std::size_t first = 0;
    for (const TileSite& site : sites) {
        finish_site(site, std::span(roofs).subspan(first, site.roofs.size()), tile, rules, result);
        first += site.roofs.size();
    }
}

}  // namespace

TileRows evaluate_tile(const TileInput& input, const Settings& settings) {
    constexpr std::size_t kRoofsAtOnce = 4 * kLanes;
    const TileRules rules = rules_from(settings);
    GroundVerdicts verdicts(input.terrain, input.metric, rules.pad.limits);
    TileRows result;
    const std::span<const TileSite> sites(input.sites);
    for (std::size_t first = 0; first < sites.size();) {
        std::size_t roofs = 0;
        std::size_t end = first;
        while (end < sites.size() && roofs < kRoofsAtOnce) {
            roofs += sites[end++].roofs.size();
        }
        evaluate_sites(sites.subspan(first, end - first), input, rules, verdicts, result);
        first = end;
    }
    std::ranges::sort(result.roofs, {}, &RoofRows::ordinal);
    std::ranges::sort(result.parcels, {}, &ParcelRows::ordinal);
    return result;
}

}  // namespace eaveshed
