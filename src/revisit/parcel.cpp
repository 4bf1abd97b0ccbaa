#include "eaveshed/revisit/parcel.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "eaveshed/core/error.hpp"
#include "eaveshed/publish/gather.hpp"
#include "eaveshed/ranking/ranking.hpp"
#include "eaveshed/result/read_values.hpp"
#include "eaveshed/revisit/stored_rows.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

std::uint32_t parcel_position(const Plan& plan, const ResultRow& stored, const std::string& file,
                              const std::string& parcel_id) {
    const auto position = position_in(stored, plan.parcels.size());
    if (position && plan.parcel_id(*position) == parcel_id) {
        return *position;
    }
    std::uint32_t found = 0;
    while (found < plan.parcels.size() && plan.parcel_id(found) != parcel_id) {
        ++found;
    }
    if (found == plan.parcels.size()) {
        throw input_error(file, fmt::format("no parcel '{}' among the parcels now", printable(parcel_id)),
                          "the parcels that were screened", "screen again, or bring the old parcels back");
    }
    return found;
}

// Rank, tier and what others know of a component hang on all parcels, so that the stored ones stand; whether there is a
// rank does not.
void take_stored_rank(const ParcelRow& stored, const ScoreComponents& components, const RankSettings& settings,
                      ParcelRow& row) {
    if (!row.rank || !stored.rank) {
        return;
    }
    row.rank = stored.rank;
    row.pareto_tier = stored.pareto_tier;
    const ComponentsKnown known = known_to_some({&components, 1});
    if (stored.flags.has(Flag::score_partial) && !known_to_none(known, score_rule(settings)).empty()) {
        row.flags.add(Flag::score_partial);
    }
    if (settings.draws > 0) {
        row.rank_stability = stored.rank_stability;
    }
}

// Score, questions and the names that a row has in the file.
void finish_row(const Settings& settings, const ParcelRow& stored, RevisitedParcel& parcel) {
    ParcelRows& result = parcel.explanation.result;
    Settings without_draws = settings;
    without_draws.rank.draws = 0;
    parcel.ranked = ranked_row(result.parcel, result.scenarios, settings.rank.scenario);
    Ranking ranking(without_draws);
    ranking.add(0, result.parcel, result.scenarios);
    ranking.compute(1);
    ranking.fill(0, result.parcel);
    take_stored_rank(stored, score_components(parcel.ranked), settings.rank, result.parcel);
    result.parcel.ask_first = questions_text(result.questions, settings.output.units);
}

// Evaluates the parcel's site, where it has one, and completes its row with what the plan knows.
void evaluate(Revisit& run, std::uint32_t position, RevisitedParcel& parcel) {
    const Plan& plan = run.plan();
    ParcelAssembly& rows = run.parcels();
    ParcelExplanation& explanation = parcel.explanation;
    if (const std::uint32_t site = rows.site_of(position); site != kNone) {
        parcel.tile = run.tile_of(site);
        const TileSite& of_parcel = parcel.tile->sites.front();
        explanation = explain_parcel(of_parcel.parcel.value(), of_parcel.roofs, *parcel.tile, run.settings());
        for (const RoofRows& roof : explanation.roofs) {
            const auto ordinal = static_cast<std::uint32_t>(roof.ordinal);
            parcel.roof_ids.push_back(plan.footprint(ordinal).roof_id);
            rows.see(ordinal, parcel.roof_ids.back(), roof);
        }
    }
    explanation.result = rows.completed(position, plan.parcel(position), std::move(explanation.result));
    run.add_streams(position, explanation.result);
    const auto pad_roof = static_cast<std::uint32_t>(explanation.result.pad_roof);
    set_names(explanation.result, run.settings(),
              explanation.result.pad ? plan.footprint(pad_roof).roof_id : std::string{});
}

}  // namespace

RevisitedParcel revisit_parcel(Revisit& run, const ResultReader& result, const std::string& parcel_id) {
    RevisitedParcel parcel;
    parcel.parcel_id = parcel_id;
    parcel.stored = stored_row(result, run.run().file, parcel_asked(parcel_id));
    evaluate(run, parcel_position(run.plan(), parcel.stored, run.run().file, parcel_id), parcel);
    finish_row(run.settings(), parcel_from(parcel.stored), parcel);
    return parcel;
}

}  // namespace eaveshed
