#include "eaveshed/explain/explain.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <span>

#include "eaveshed/core/error.hpp"
#include "eaveshed/plan/plan.hpp"
#include "eaveshed/publish/gather.hpp"
#include "eaveshed/revisit/revisit.hpp"
#include "eaveshed/revisit/stored_rows.hpp"
#include "eaveshed/words/wording.hpp"
#include "explain_comparison.hpp"

namespace eaveshed {

namespace {

// Where the row's footprint is among the inputs as they are now: at the row's number, unless they changed.
std::uint32_t ordinal_of(const Plan& plan, const ResultRow& stored, const ExplainRequest& request) {
    const auto position = position_in(stored, plan.roofs.size());
    if (position && plan.footprint(*position).roof_id == request.roof_id) {
        return *position;
    }
    for (std::uint32_t ordinal = 0; ordinal < plan.roofs.size(); ++ordinal) {
        if (plan.footprint(ordinal).roof_id == request.roof_id) {
            return ordinal;
        }
    }
    throw input_error(request.file, fmt::format("no roof '{}' among the footprints now", printable(request.roof_id)),
                      "the footprints that were screened", "screen again, or bring the old footprints back");
}

// The site on which a roof stands: its position in the plan.
std::uint32_t site_of(const Plan& plan, std::uint32_t ordinal) {
    for (std::uint32_t i = 0; i < plan.sites.size(); ++i) {
        const PlannedSite& site = plan.sites[i];
        const auto roofs = std::span(plan.site_roofs).subspan(site.first, site.count);
        if (std::ranges::find(roofs, ordinal) != roofs.end()) {
            return i;
        }
    }
    internal_error("a roof that stands on no site");
}

void compare_rows(const ResultReader& result, const ResultRow& stored, ExplainedRoof& roof) {
    Comparison comparison(roof);
    const RoofRows& now = roof.explanation.result;
    comparison.compare(std::optional(now.roof), &stored);
    auto pads = stored_rows(result, &PadRow::roof_id, roof.roof_id, kMostRows);
    keep_level(pads, PadLevel::roof);
    comparison.compare(now.pad, pads.empty() ? nullptr : &pads.front());
    const auto use_points = stored_rows(result, &UsePointRow::roof_id, roof.roof_id, 1);
    comparison.compare(now.use_point, use_points.empty() ? nullptr : &use_points.front());
    if (roof.run.project.settings.output.storage_curve) {
        comparison.compare_all(now.curve, stored_rows(result, &CurveRow::roof_id, roof.roof_id, kMostRows));
    }
}

// Finds the roof in its tile and explains it.
void explain_in(const TileInput& tile, std::uint32_t ordinal, const Settings& settings, ExplainedRoof& roof) {
    const TileSite& site = tile.sites.front();
    const auto found = std::ranges::find(site.roofs, std::uint64_t{ordinal}, &TileRoof::ordinal);
    if (found == site.roofs.end()) {
        internal_error("a site without its roof");
    }
    roof.roof = *found;
    roof.parcel = site.parcel;
    roof.explanation = explain_roof(*found, site.parcel ? &*site.parcel : nullptr, tile, settings);
}

std::vector<GaugeOfRoof> gauges_of(const GaugeTableInfo* table, const std::vector<StationUse>& uses) {
    std::vector<GaugeOfRoof> gauges;
    for (const StationUse& use : uses) {
        if (table != nullptr) {
            gauges.push_back({table->stations.at(use.station).id, use});
        }
    }
    return gauges;
}

void locate(const Revisit& run, std::uint32_t ordinal, ExplainedRoof& roof) {
    roof.roof_place = roof_place(run, ordinal);
    if (const auto& pad = roof.explanation.result.pad) {
        roof.pad_place = run.places().from_terrain(pad->place);
    }
    if (const auto& use = roof.explanation.result.use_point) {
        roof.use_place = run.places().from_terrain(use->place);
    }
}

}  // namespace

ExplainedRoof explain(const ExplainRequest& request, Findings& findings, Progress& progress) {
    const ResultReader result = open_result(request.file, findings);
    const ResultRow stored = stored_row(result, request.file, roof_asked(request.roof_id));
    Revisit run(result, request.file, request.project, findings, progress);
    const Plan& plan = run.plan();
    const std::uint32_t ordinal = ordinal_of(plan, stored, request);
    const std::uint32_t parcel = plan.roofs[ordinal].parcel;
    ExplainedRoof roof;
    roof.roof_id = request.roof_id;
    roof.subject = fmt::format("roof '{}'", printable(request.roof_id));
    roof.run = run.run();
    roof.output_crs = run.inputs().output_crs.name();
    roof.in_degrees = run.inputs().output_crs.is_geographic();
    roof.parcel_id = parcel == kNone ? std::nullopt : std::optional(std::string(plan.parcel_id(parcel)));
    roof.timeline = run.inputs().rain->timeline;
    explain_in(run.tile_of(site_of(plan, ordinal)), ordinal, run.settings(), roof);
    const ClimatePlace& place = roof.roof.climate_place;
    roof.rain_gauges = gauges_of(run.inputs().gauges("rain"), place.rain_stations);
    roof.temperature_gauges = gauges_of(run.inputs().gauges("temperature"), place.temperature_stations);
    locate(run, ordinal, roof);
    set_names(roof.explanation.result, roof.roof_id, plan, parcel);
    run.add_streams(ordinal, roof.explanation.result);
    compare_rows(result, stored, roof);
    return roof;
}

}  // namespace eaveshed
