#include <fmt/format.h>

#include <algorithm>

#include "eaveshed/core/error.hpp"
#include "eaveshed/explain/explain.hpp"
#include "eaveshed/publish/gather.hpp"
#include "eaveshed/publish/parcel_assembly.hpp"
#include "eaveshed/ranking/ranking.hpp"
#include "eaveshed/record/read_values.hpp"
#include "eaveshed/words/wording.hpp"
#include "explain_reopen.hpp"

namespace eaveshed {

namespace {

std::uint32_t parcel_position(const Plan& plan, const ResultRow& stored, const ExplainRequest& request) {
    const auto position = position_in(stored, plan.parcels.size());
    if (position && plan.parcels[*position].parcel_id == request.parcel_id) {
        return *position;
    }
    const auto found = std::ranges::find(plan.parcels, request.parcel_id, &PlannedParcel::parcel_id);
    if (found == plan.parcels.end()) {
        throw input_error(request.file,
                          fmt::format("no parcel '{}' among the parcels now", printable(request.parcel_id)),
                          "the parcels that were screened", "screen again, or bring the old parcels back");
    }
    return static_cast<std::uint32_t>(found - plan.parcels.begin());
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
void finish_row(const Settings& settings, const ParcelRow& stored, ExplainedParcel& parcel) {
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

void compare_rows(const ResultReader& result, const ResultRow& stored, ExplainedParcel& parcel) {
    Comparison comparison(parcel);
    const ParcelRows& now = parcel.explanation.result;
    comparison.compare(std::optional(now.parcel), &stored);
    auto pads = stored_rows(result, &PadRow::parcel_id, parcel.parcel_id, kMostRows);
    keep_level(pads, PadLevel::parcel);
    comparison.compare(now.pad, pads.empty() ? nullptr : &pads.front());
    comparison.compare_all(now.options, stored_rows(result, &ParcelOptionRow::parcel_id, parcel.parcel_id, kMostRows));
    comparison.compare_all(now.scenarios, stored_rows(result, &ScenarioRow::parcel_id, parcel.parcel_id, kMostRows));
}

// Evaluates the parcel's site, where it has one, and completes its row with what the plan knows.
void explain_at(const Reopened& reopened, std::uint32_t position, ExplainedParcel& parcel) {
    const Plan& plan = *reopened.plan;
    const Project& project = parcel.run.project;
    ParcelAssembly rows(project, plan);
    ParcelExplanation& explanation = parcel.explanation;
    if (const std::uint32_t site = rows.site_of(position); site != kNone) {
        const RunRasters rasters(reopened.inputs);
        TileLoader loader(project, reopened.inputs, plan, reopened.climate, rasters);
        const TileInput tile = loader.load({.first = site, .count = 1});
        explanation =
            explain_parcel(tile.sites.front().parcel.value(), tile.sites.front().roofs, tile, project.settings);
        for (const RoofRows& roof : explanation.roofs) {
            const auto ordinal = static_cast<std::uint32_t>(roof.ordinal);
            parcel.roof_ids.push_back(plan.footprint(ordinal).roof_id);
            rows.see(ordinal, parcel.roof_ids.back(), roof);
        }
    }
    explanation.result = rows.completed(position, plan.parcel(position), std::move(explanation.result));
    const auto pad_roof = static_cast<std::uint32_t>(explanation.result.pad_roof);
    set_names(explanation.result, project.settings,
              explanation.result.pad ? plan.footprint(pad_roof).roof_id : std::string{});
}

}  // namespace

ExplainedParcel explain_parcel(const ExplainRequest& request, Findings& findings, Progress& progress) {
    const ResultReader result(request.file, findings);
    const ResultRow stored =
        stored_row(result, request.file,
                   {ParcelRow::kTable.name, column_name(&ParcelRow::parcel_id), "parcel", request.parcel_id,
                    "let parcels.id name a field that tells parcels apart, or leave it out, and screen again"});
    ExplainedParcel parcel;
    parcel.parcel_id = request.parcel_id;
    parcel.subject = fmt::format("parcel '{}'", printable(request.parcel_id));
    Reopened reopened;
    reopen(result, request, parcel.run, reopened, findings, progress);
    explain_at(reopened, parcel_position(*reopened.plan, stored, request), parcel);
    finish_row(parcel.run.project.settings, parcel_from(stored), parcel);
    compare_rows(result, stored, parcel);
    return parcel;
}

}  // namespace eaveshed
