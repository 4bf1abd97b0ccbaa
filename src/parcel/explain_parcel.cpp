#include "eaveshed/parcel/explain_parcel.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "added.hpp"
#include "eaveshed/parcel/parcel_system.hpp"
#include "eaveshed/site/evaluate_roofs.hpp"
#include "parcel_roofs.hpp"
#include "sizes_at_pad.hpp"

namespace eaveshed {

namespace {

CandidateOutcome outcome_of(StoreCriterion criterion) {
    switch (criterion) {
        case StoreCriterion::stage: return CandidateOutcome::stage;
        case StoreCriterion::lift: return CandidateOutcome::lift;
        case StoreCriterion::feed: return CandidateOutcome::feed;
        case StoreCriterion::volume: return CandidateOutcome::volume;
        case StoreCriterion::pressure: return CandidateOutcome::pressure;
        case StoreCriterion::order: break;
    }
    return CandidateOutcome::order;
}

ParcelCandidate candidate_of(const SharedStorage& store) {
    const Pad& pad = *store.sited.pad;
    return {.roof = store.owner,
            .outcome = CandidateOutcome::chosen,
            .members = store.members,
            .recommended = store.recommended,
            .option = store.sited.option,
            .stage = pad.rank.stage,
            .lift_steps = pad.rank.lift_steps,
            .feed = pad.rank.feed,
            .forbearance_m3 = store.forbearance_m3(),
            .pressure_kpa = pad.feed.pressure_kpa,
            .fill_margin_m = pad.fill_margin_m};
}

// Every pad as the choice sees it, held against the one that was chosen.
std::vector<ParcelCandidate> candidates_of(const ParcelRoofs& together, std::span<const ComputedRoof> roofs,
                                           const std::optional<SharedStorage>& best) {
    std::vector<ParcelCandidate> candidates;
    for (std::size_t owner = 0; owner < roofs.size(); ++owner) {
        if (!roofs[owner].pad) {
            continue;
        }
        const auto store = together.system_at(owner);
        candidates.push_back(store ? candidate_of(*store) : ParcelCandidate{.roof = owner, .members = {}});
        if (store && best && owner != best->owner) {
            candidates.back().outcome = outcome_of(deciding_criterion(*best, *store));
        }
    }
    return candidates;
}

std::vector<RoofAtPad> roofs_at(const ParcelRoofs& together, const SharedStorage& store, std::size_t count) {
    std::vector<RoofAtPad> seen(count);
    for (std::size_t roof = 0; roof < count; ++roof) {
        const double distance_m = together.fill_distance_m(roof, store.owner, *store.sited.pad);
        if (std::isfinite(distance_m)) {
            seen[roof] = {distance_m, together.fill_margin_m(roof, store.sited, distance_m)};
        }
    }
    return seen;
}

ParcelPad pad_of(const ParcelRoofs& together, const SharedStorage& store, const ComputedRoof& owner,
                 const TileRules& rules) {
    const Pad& pad = store.sited.pad.value();
    const Tanks tanks = tanks_of(rules.options.at(store.sited.option), *rules.settings);
    return {.pad = pad,
            .tanks = together.search_at(store.owner).tanks_of(pad, tanks),
            .eave = owner.eave.value(),
            .cells = owner.site->cells(),
            .garden = owner.site->garden(),
            .rules = owner.site->rules()};
}

}  // namespace

ParcelExplanation explain_parcel(const TileParcel& parcel, const std::vector<TileRoof>& roofs, const TileInput& tile,
                                 const Settings& settings) {
    const TileRules rules = rules_from(settings);
    ParcelExplanation explanation;
    explanation.facts = parcel.facts;
    explanation.options = rules.options;
    std::vector<ComputedRoof> computed = evaluate_roofs(roofs, parcel, tile, rules);
    explanation.result = evaluate_parcel(parcel, tile, rules, computed);
    const auto any_ok = std::ranges::find_if(computed, &ComputedRoof::ok);
    if (any_ok != computed.end()) {
        explanation.take = any_ok->water.take;
        const ParcelRoofs together(tile, rules, computed);
        const std::optional<SharedStorage> best = together.best_system();
        explanation.candidates = candidates_of(together, computed, best);
        if (const auto store = best ? best : together.system_without_pad()) {
            explanation.curve = store->options;
            explanation.counted_years = store->record.counted.size();
            explanation.recommended = store->recommended;
            explanation.chosen = store->sited.option;
            const ExistingStorage existing(parcel.facts.existing_storage_m3, store->record, tile.climate.timeline(),
                                           rules);
            explanation.existing_replaced_m3 = existing.replaced_m3();
            explanation.owner = store->owner;
            explanation.members = store->members;
            explanation.record = store->record;
            if (store->sited.pad) {
                explanation.at_pad = roofs_at(together, *store, computed.size());
                explanation.sizes = sizes_at_pad(together, *store, rules);
                explanation.pad = pad_of(together, *store, computed[store->owner], rules);
            }
        }
    }
    for (ComputedRoof& roof : computed) {
        explanation.roofs.push_back(std::move(roof.result));
    }
    return explanation;
}

}  // namespace eaveshed
