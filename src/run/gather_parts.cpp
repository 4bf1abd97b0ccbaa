#include <tbb/global_control.h>

#include <fmt/format.h>

#include <filesystem>

#include "eaveshed/creeks/make_creeks.hpp"
#include "eaveshed/creeks/subbasins.hpp"
#include "eaveshed/feed/kept_climate.hpp"
#include "eaveshed/files/file.hpp"
#include "eaveshed/plan/kept_plan.hpp"
#include "eaveshed/run/screen.hpp"
#include "eaveshed/run/split.hpp"
#include "eaveshed/store/rows_file.hpp"
#include "eaveshed/words/wording.hpp"
#include "plan_project.hpp"
#include "steps.hpp"

namespace eaveshed {

namespace {

namespace fs = std::filesystem;

void require_all_parts(const PlanInParts& plan) {
    const std::vector<std::uint64_t> missing = missing_parts(plan);
    if (missing.empty()) {
        return;
    }
    throw input_error(
        plan.folder.string(),
        fmt::format("no rows of {} of {} parts: {}", missing.size(), plan.facts().parts.size(), ranges_text(missing)),
        "the rows of every part",
        fmt::format("run them: eaveshed screen --part {} {}", shell_word(plan.folder.string()), missing.front()));
}

// The rows of all parts, each held against the plan.
std::vector<RowsFile> rows_of_parts(const PlanInParts& plan, const Plan& whole, const SpoolFormat& format,
                                    Progress& progress) {
    const std::vector<TileSize> sizes = tile_sizes(whole);
    std::vector<RowsFile> files;
    progress.begin("reading parts", plan.facts().parts.size(), "parts");
    for (std::uint64_t number = 1; number <= plan.facts().parts.size(); ++number) {
        stop_if_requested();
        const PartOfPlan& part = plan.part(number);
        const auto first = sizes.begin() + static_cast<std::ptrdiff_t>(part.first_tile);
        files.push_back(
            RowsFile::finished(rows_path(plan.folder, number), format,
                               {part.first_tile, {first, first + static_cast<std::ptrdiff_t>(part.tiles)}}));
        remove_dead_drafts(rows_folder(plan.folder), draft_prefix(number));
        progress.advance(1);
    }
    progress.end();
    return files;
}

}  // namespace

GatherResult gather_parts(const GatherOptions& options, Findings& findings, Progress& progress) {
    const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, options.threads);
    const PlanInParts parts = plan_in_parts(options.folder);
    require_all_parts(parts);
    const bool strict = parts.facts().strict;
    const Digest digest = strict ? Digest::whole : Digest::ends;
    const Project project = project_of_plan(parts, options.project, findings);
    OpenInputs inputs = open_inputs(project, findings);
    require_sound(project, findings, strict);
    const std::vector<InputFile> files = require_inputs_of_plan(parts, project, inputs, digest);
    const std::string output =
        checked_output(project, {.output = options.output, .overwrite = options.overwrite}, inputs);
    require_memory_to_gather(options.memory_mib, inputs);
    WorkFolder work(output + ".work");
    const Creeks creeks = make_creeks(project, inputs, {.scratch = work.path()}, findings, progress);
    const Subbasins subbasins(project, inputs, creeks, findings);
    for (const Finding& finding : parts.facts().findings) {
        findings.add(finding);
    }
    inputs.close_layers();
    inputs.close_climate();
    const Plan plan = kept_whole(parts.folder, work.path());
    const SpoolFormat format = spool_format(project, parts.manifest.identity);
    const ClimateFacts climate = kept_climate_facts(parts.folder);
    RunCounts counts = write_result(
        {.project = project,
         .inputs = inputs,
         .plan = plan,
         .creeks = creeks,
         .subbasins = subbasins,
         .files = files,
         .mean_year_mm = climate.mean_year_mm,
         .stations_used = climate.stations_used,
         .threads = options.threads,
         .strict = strict},
        GatheredRows(format, parts.facts().rows, rows_of_parts(parts, plan, format, progress), work.path()), output,
        work.path(), findings, progress);
    clear_away(work, findings);
    return {counts, output};
}

}  // namespace eaveshed
