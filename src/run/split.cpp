#include "eaveshed/run/split.hpp"

#include <tbb/global_control.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <numeric>

#include "eaveshed/creeks/make_creeks.hpp"
#include "eaveshed/creeks/subbasins.hpp"
#include "eaveshed/feed/height_look.hpp"
#include "eaveshed/feed/kept_climate.hpp"
#include "eaveshed/feed/tile_reach.hpp"
#include "eaveshed/files/file.hpp"
#include "eaveshed/files/place.hpp"
#include "eaveshed/parts/balance.hpp"
#include "eaveshed/plan/kept_plan.hpp"
#include "eaveshed/sampling/check_plausibility.hpp"
#include "steps.hpp"

namespace eaveshed {

namespace {

namespace fs = std::filesystem;

constexpr double kSecondsToBegin = 0.5;  // of a part: opening inputs, reading its slice

void require_free(const SplitOptions& options) {
    const fs::path folder(options.folder);
    require_place_for_folder(folder, options.folder);
    std::error_code fault;
    if (fs::exists(folder / kManifestName, fault) && !options.overwrite) {
        throw input_error(options.folder, "a plan that stands there", "a new folder",
                          "give --overwrite to replace it with all that its parts made, or another -o");
    }
}

// The streams as far as the plan asks for them: given lines need no water led over the ground before gather.
Creeks creeks_for_plan(const Project& project, const OpenInputs& inputs, const CreekOptions& options,
                       Findings& findings, Progress& progress) {
    return project.resolved.streams.derive ? make_creeks(project, inputs, options, findings, progress)
                                           : look_at_creeks(project, inputs, findings);
}

// Seconds of each tile.
std::vector<double> tile_seconds(const Project& project, const Inputs& inputs, const Plan& plan) {
    constexpr double kSecondsPerCell = 1.5e-8;
    const double per_roof = seconds_per_roof(inputs, project.settings);
    std::vector<double> seconds;
    for (const TileLoad& load : tile_loads(project.resolved, inputs, plan)) {
        seconds.push_back(load.computed_roofs * per_roof + load.cells * kSecondsPerCell);
    }
    return seconds;
}

PartOfPlan part_of(const TileRun& run, const std::vector<TileSize>& sizes, const std::vector<double>& seconds) {
    PartOfPlan part{.first_tile = run.first, .tiles = run.count};
    double time = kSecondsToBegin;
    for (std::size_t tile = run.first; tile < run.first + run.count; ++tile) {
        part.roofs += sizes[tile].roofs;
        part.parcels += sizes[tile].parcels;
        time += seconds[tile];
    }
    part.seconds = static_cast<std::uint64_t>(std::ceil(time));
    return part;
}

struct Parted {
    const Project& project;
    const Inputs& inputs;
    const Plan& plan;
    double tile_side_m;
};

// Shares out the tiles and writes what each part needs.
std::vector<PartOfPlan> write_parts(const Parted& from, const SplitOptions& options, Progress& progress) {
    const auto& [project, inputs, plan, tile_side_m] = from;
    const std::vector<double> seconds = tile_seconds(project, inputs, plan);
    const std::vector<TileSize> sizes = tile_sizes(plan);
    const TileReach reach = tile_reach(project.resolved, inputs, plan);
    std::vector<PartOfPlan> parts;
    progress.begin("writing parts", options.parts, "parts");
    for (const TileRun& run : balanced_runs(seconds, options.parts)) {
        stop_if_requested();
        plan.rest();
        PartOfPlan& part = parts.emplace_back(part_of(run, sizes, seconds));
        const InputRows kept =
            keep_slice(plan, {run.first, run.count, reach.x, reach.y}, slice_path(options.folder, parts.size()));
        part.memory_mib = part_bytes(inputs, project.settings, tile_side_m, kept) / kMiB + 1;
        progress.advance(1);
    }
    progress.end();
    return parts;
}

// For gather, which may find the inputs elsewhere.
std::vector<Finding> findings_from(const Findings& findings, std::size_t first, const Project& project) {
    std::vector<Finding> kept(findings.list().begin() + static_cast<std::ptrdiff_t>(first), findings.list().end());
    for (Finding& finding : kept) {
        for (std::string Trouble::*const part :
             {&Trouble::where, &Trouble::found, &Trouble::wanted, &Trouble::remedy}) {
            finding.trouble.*part = with_given_paths(project, std::move(finding.trouble.*part));
        }
    }
    return kept;
}

// A plan's folder stays when it is complete.
void keep_all(WorkFolder& work) {
    constexpr std::array<std::string_view, 10> kAll{kManifestName,
                                                    "parts",
                                                    "rows",
                                                    "whole.plan",
                                                    "climate.plan",
                                                    "footprints.records",
                                                    "parcels.records",
                                                    "obstacles.records",
                                                    "roads.records",
                                                    kRainSeriesName};
    work.keep(kAll);
}

}  // namespace

PlanInParts split(const Project& project, const SplitOptions& options, Findings& findings, Progress& progress) {
    constexpr double kGatherSecondsPerRoof = 1e-4;
    const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, options.threads);
    require_free(options);
    OpenInputs inputs = open_inputs(project, findings);
    require_sound(project, findings, options.strict);
    const Digest digest = options.strict ? Digest::whole : Digest::ends;
    const std::vector<InputFile> files = fingerprints(project, inputs, digest);
    WorkFolder work(options.folder);
    const fs::path& folder = work.path();
    const Creeks creeks = creeks_for_plan(project, inputs, {.scratch = folder}, findings, progress);
    const Subbasins subbasins(project, inputs, creeks, findings);
    const MemoryShares shares =
        share_memory(options.memory_mib, creeks.bytes(), options.threads, inputs, project.settings);
    const std::size_t found_before_plan = findings.list().size();

    make_folder(slice_path(folder, 1).parent_path());
    make_folder(rows_folder(folder));
    const Plan plan =
        make_plan(project, inputs, creeks, folder, {.tile_side_m = shares.tile_side_m}, findings, progress);
    look_at_heights(project, inputs, plan, findings);
    require_sound(project, findings, options.strict);
    inputs.close_layers();
    const BasinClimate climate =
        read_climate(project, inputs, plan,
                     {.most_rain_bytes = 0, .most_kept_bytes = kept_rain_bytes(shares), .folder = folder}, findings);
    check_plausibility(project, inputs, plan, climate.mean_year_mm, findings);
    require_sound(project, findings, options.strict);
    keep_climate(climate, folder);
    keep_whole(plan, folder);
    const Identity identity = identity_of(project, files);
    PlanFacts facts{.project_file = fs::absolute(project.file).string(),
                    .strict = options.strict,
                    .rows = {plan.roofs.size(), plan.parcels.size()},
                    .parts = write_parts({project, inputs, plan, shares.tile_side_m}, options, progress),
                    .findings = findings_from(findings, found_before_plan, project)};
    facts.gather_seconds =
        static_cast<std::uint64_t>(std::ceil(1.0 + static_cast<double>(facts.rows.roofs) * kGatherSecondsPerRoof));
    facts.gather_memory_mib = gather_bytes(inputs) / kMiB + 1;
    require_unchanged(project, inputs, files, digest);
    write_manifest(folder, {.identity = identity, .tile_side_m = shares.tile_side_m, .plan = std::move(facts)});
    PlanInParts plan_in_folder = plan_in_parts(folder);  // as the parts will read it
    keep_all(work);
    return plan_in_folder;
}

}  // namespace eaveshed
