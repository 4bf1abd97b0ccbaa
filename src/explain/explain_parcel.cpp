#include <fmt/format.h>

#include "eaveshed/explain/explain.hpp"
#include "eaveshed/revisit/parcel.hpp"
#include "eaveshed/revisit/stored_rows.hpp"
#include "eaveshed/words/wording.hpp"
#include "explain_comparison.hpp"

namespace eaveshed {

namespace {

void compare_parcel_rows(const ResultReader& result, const ResultRow& stored, ExplainedParcel& parcel) {
    Comparison comparison(parcel);
    const ParcelRows& now = parcel.explanation.result;
    comparison.compare(std::optional(now.parcel), &stored);
    auto pads = stored_rows(result, &PadRow::parcel_id, parcel.parcel_id, kMostRows);
    keep_level(pads, PadLevel::parcel);
    comparison.compare(now.pad, pads.empty() ? nullptr : &pads.front());
    comparison.compare_all(now.options, stored_rows(result, &ParcelOptionRow::parcel_id, parcel.parcel_id, kMostRows));
    comparison.compare_all(now.scenarios, stored_rows(result, &ScenarioRow::parcel_id, parcel.parcel_id, kMostRows));
}

// Where the roofs are, as explanation.roofs, and the pad with its use point.
void locate(const Revisit& run, ExplainedParcel& parcel) {
    for (const RoofRows& roof : parcel.explanation.roofs) {
        parcel.roof_places.push_back(roof_place(run, static_cast<std::uint32_t>(roof.ordinal)));
    }
    if (const auto& pad = parcel.explanation.result.pad) {
        parcel.pad_place = run.places().from_terrain(pad->place);
    }
    if (!parcel.explanation.members.empty()) {
        if (const auto& use = parcel.explanation.roofs[parcel.explanation.owner].use_point) {
            parcel.use_place = run.places().from_terrain(use->place);
        }
    }
}

}  // namespace

ExplainedParcel explain_parcel(const ExplainRequest& request, Findings& findings, Progress& progress) {
    const ResultReader result = open_result(request.file, findings);
    // An id that is not there is told before the inputs are opened.
    static_cast<void>(stored_row(result, request.file, parcel_asked(request.parcel_id)));
    Revisit run(result, request.file, request.project, findings, progress);
    RevisitedParcel revisited = revisit_parcel(run, result, request.parcel_id);
    ExplainedParcel parcel;
    parcel.parcel_id = request.parcel_id;
    parcel.subject = fmt::format("parcel '{}'", printable(request.parcel_id));
    parcel.run = run.run();
    parcel.output_crs = run.inputs().output_crs.name();
    parcel.in_degrees = run.inputs().output_crs.is_geographic();
    parcel.roof_ids = std::move(revisited.roof_ids);
    parcel.explanation = std::move(revisited.explanation);
    parcel.ranked = std::move(revisited.ranked);
    locate(run, parcel);
    compare_parcel_rows(result, revisited.stored, parcel);
    return parcel;
}

}  // namespace eaveshed
