#include "eaveshed/site/explain_roof.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "eaveshed/hydraulics/certainty.hpp"
#include "eaveshed/site/evaluate_roofs.hpp"
#include "eaveshed/site/pad_duty.hpp"
#include "eaveshed/site/site_survey.hpp"
#include "eaveshed/site/siting.hpp"

namespace eaveshed {

namespace {

// Whether no circle of ground of the one meets one of the other.
bool apart(const ExplainedPad& place, const Pad& pad, const StandingTanks& tanks) {
    const double least_m = place.pad.pad_radius_m + pad.pad_radius_m;
    return std::ranges::all_of(place.tanks, [&](const StandingTank& a) {
        return std::ranges::all_of(tanks, [&](const StandingTank& b) {
            const double dx = a.centre.metres.x - b.centre.metres.x;
            const double dy = a.centre.metres.y - b.centre.metres.y;
            return std::sqrt(dx * dx + dy * dy) >= least_m;
        });
    });
}

ExplainedPad explained(const Pad& pad, const StandingTanks& tanks, const SiteSurvey& site,
                       const StorageOption& option) {
    const PadRules& rules = site.rules();
    PadRow row = site.row_of(pad, option);
    row.fill_line = site.fill_pipe(pad, option).fill_line;
    return {.pad = pad,
            .row = std::move(row),
            .tanks = tanks,
            .pad_sd_m = pad.pad_sd_m,
            .fill_fall_m = fill_fall_m(pad.fill_distance_m, rules),
            .sure_margin_m = sure_margin_m(pad.fill_sd_m)};
}

// The best first, then those that leave the ground of all before them free.
std::vector<ExplainedPad> best_places(const std::vector<Pad>& eligible, const PadSearch& search, const SiteSurvey& site,
                                      const StorageOption& option, const Tanks& tanks) {
    std::vector<ExplainedPad> places;
    for (const Pad& pad : eligible) {
        if (places.size() == kPlacesShown) {
            break;
        }
        const StandingTanks standing = search.tanks_of(pad, tanks);
        if (std::ranges::all_of(places, [&](const ExplainedPad& other) { return apart(other, pad, standing); })) {
            places.push_back(explained(pad, standing, site, option));
        }
    }
    return places;
}

void explain_search(const SiteSurvey& site, const TileRules& rules, std::size_t recommended,
                    SitingExplanation& explanation) {
    const PadSearch& search = site.search();
    explanation.cells_within_reach = search.cell_count();
    for (const OptionTried& tried : try_options(search, rules, recommended)) {
        const StorageOption& option = rules.options.at(tried.option);
        const Tanks tanks = tanks_of(option, *rules.settings);
        const std::vector<Pad> eligible = search.eligible(tanks);
        explanation.tried.push_back(
            {.option = tried.option, .tanks = tanks, .removed = search.removed(tanks), .eligible = eligible.size()});
        explanation.places = best_places(eligible, search, site, option, tanks);
    }
}

}  // namespace

RoofExplanation explain_roof(const TileRoof& roof, const TileParcel* parcel, const TileInput& tile,
                             const Settings& settings) {
    const TileRules rules = rules_from(settings);
    RoofExplanation explanation;
    explanation.options = rules.options;
    ComputedRoof computed = evaluate_roof(roof, parcel, tile, rules);
    explanation.result = std::move(computed.result);
    if (explanation.result.roof.status != Status::ok) {
        return explanation;
    }
    explanation.water = std::move(computed.water);
    explanation.eave = computed.eave;
    const auto& recommended = explanation.water->recommended;
    explanation.chosen = recommended.value_or(0);
    if (!recommended || !explanation.eave) {
        return explanation;
    }
    const SiteSurvey site(roof, parcel, tile, rules, *explanation.eave);
    SitingExplanation& siting = explanation.siting.emplace();
    siting.rules = site.rules();
    siting.window_rules = rules.window;
    siting.cells = site.cells();
    siting.garden_cells = site.garden_cell_count();
    siting.garden_m2 = site.garden_m2();
    if (!site.use_point()) {
        return explanation;
    }
    explain_search(site, rules, *recommended, siting);
    explanation.chosen = siting.places.empty() ? *recommended : siting.tried.back().option;
    const RoofRow& row = explanation.result.roof;
    for (ExplainedPad& place : siting.places) {
        fill_pad_duty(rules.options.at(explanation.chosen), pad_water(row, storm_of(row, rules)), rules, place.row);
    }
    siting.minimum_head_m = minimum_head_m(rules.window);
    siting.window = site.window(rules.options.at(explanation.chosen));
    return explanation;
}

}  // namespace eaveshed
