#include "eaveshed/run/screen.hpp"

#include <tbb/global_control.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/creeks/make_creeks.hpp"
#include "eaveshed/creeks/subbasins.hpp"
#include "eaveshed/evaluate/evaluate_tiles.hpp"
#include "eaveshed/feed/height_look.hpp"
#include "eaveshed/feed/planned_tiles.hpp"
#include "eaveshed/files/file.hpp"
#include "eaveshed/inputs/input_files.hpp"
#include "eaveshed/opening/open_inputs.hpp"
#include "eaveshed/outside/library_versions.hpp"
#include "eaveshed/package/geopackage_writer.hpp"
#include "eaveshed/package/layers.hpp"
#include "eaveshed/progress/free_memory.hpp"
#include "eaveshed/project/read_settings.hpp"
#include "eaveshed/publish/coverage.hpp"
#include "eaveshed/publish/gather.hpp"
#include "eaveshed/publish/run_record.hpp"
#include "eaveshed/record/tile_row_sink.hpp"
#include "eaveshed/sampling/check_plausibility.hpp"
#include "eaveshed/site/rules.hpp"
#include "eaveshed/store/spool.hpp"

namespace eaveshed {

namespace {

namespace fs = std::filesystem;

// Stops on errors, and on warnings too when strict, before any work.
void require_sound(const Project& project, const Findings& findings, bool strict) {
    if (findings.count(Severity::error) > 0) {
        throw error_of(findings, project.file);
    }
    if (strict && findings.count(Severity::warning) > 0) {
        throw strict_error(project, findings, Fault::input);
    }
}

MemoryShares shares_of(const ScreenOptions& options, std::uint64_t taken_bytes, const Inputs& inputs,
                       const Settings& settings) {
    MemoryShares shares = share_memory(options.memory_mib, taken_bytes, options.threads, inputs, settings);
    shares.tile_side_m = options.plan.tile_side_m.value_or(shares.tile_side_m);
    shares.block_bytes = options.block_cache_bytes.value_or(shares.block_bytes);
    shares.rain_bytes = options.most_rain_bytes.value_or(shares.rain_bytes);
    return shares;
}

// Rain has its share as a whole in memory, or as what all threads keep at hand of its file.
ClimateOptions climate_options(const MemoryShares& shares, const fs::path& folder) {
    return {.most_rain_bytes = shares.rain_bytes,
            .most_kept_bytes = std::min<std::size_t>(kRainKeptBytes, shares.rain_bytes / shares.threads),
            .folder = folder};
}

struct Screening {
    const Project& project;
    OpenInputs& inputs;
    const Plan& plan;
    const fs::path& folder;
    const ScreenOptions& options;
};

struct ComputedRows {
    BlockCounts blocks;
    std::optional<MonthDepths> mean_year_mm;   // rain in the middle of the basin
    std::vector<std::uint32_t> stations_used;  // gauges of rain
};

// The rows of all tiles into `spool`. What is read for them is let go at the end.
ComputedRows compute_rows(const Screening& screening, const MemoryShares& shares, TileRowSink& spool,
                          Findings& findings, Progress& progress) {
    const auto& [project, inputs, plan, folder, options] = screening;
    const BasinClimate climate = read_climate(project, inputs, plan, climate_options(shares, folder), findings);
    check_plausibility(project, inputs, plan, climate.mean_year_mm, findings);
    inputs.close_climate();
    require_sound(project, findings, options.strict);
    if (options.before_work) {
        options.before_work(findings);
    }
    PlannedTiles tiles(project, inputs, plan, climate, shares.block_bytes);
    progress.begin("screening", plan.roofs.size(), "roofs");
    evaluate_tiles(tiles, spool, project.settings, shares.threads, progress);
    progress.end();
    return {tiles.blocks(), climate.mean_year_mm, climate.stations_used};
}

bool same_file(const fs::path& a, const fs::path& b) {
    std::error_code fault;
    return fs::equivalent(a, b, fault) && !fault;
}

void require_unchanged(const Project& project, const Inputs& inputs, const std::vector<InputFile>& before,
                       Digest digest) {
    const std::vector<InputFile> now = fingerprints(project, inputs, digest);
    for (std::size_t i = 0; i < before.size() && i < now.size(); ++i) {
        if (before[i].fingerprint != now[i].fingerprint) {
            throw working_error(before[i].setting + " \"" + before[i].fingerprint.path_as_given + "\"",
                                "a file that changed while it was being read", "inputs that stay as they are",
                                "run again when nothing writes to it");
        }
    }
}

}  // namespace

std::string checked_output(const Project& project, const ScreenOptions& options, const Inputs& inputs) {
    const std::string output = options.output.empty() ? project.resolved.basin.output : options.output;
    if (output.empty()) {
        throw input_error(project.file, "no name for the result", "basin.output, or -o OUT.gpkg", "give one of them");
    }
    const fs::path path(output);
    if (path.extension() != ".gpkg") {
        throw input_error(output, "an output that does not end in .gpkg", "a GeoPackage", "name it NAME.gpkg");
    }
    for (const FileRead& file : files_read(project, inputs)) {
        if (same_file(path, file.path)) {
            throw input_error(output, "an output that is an input of " + file.where, "another file",
                              "name another output");
        }
    }
    const fs::path folder = path.has_parent_path() ? path.parent_path() : fs::path(".");
    std::error_code fault;
    if (!fs::is_directory(folder, fault)) {
        throw input_error(output, "no folder " + folder.string(), "a folder that exists", "make it, or name another");
    }
    if (::access(folder.c_str(), W_OK | X_OK) != 0) {
        throw input_error(output, "a folder that may not be written to", "write permission", "choose another folder");
    }
    if (fs::is_directory(path, fault)) {
        throw input_error(output, "a folder of that name", "a file", "name another output");
    }
    if (fs::exists(fs::symlink_status(path, fault)) && !options.overwrite) {
        throw input_error(output, "a file that exists", "a new name",
                          "give --overwrite to replace it when the run is done, or another -o");
    }
    return output;
}

ScreenResult screen(const Project& project, const ScreenOptions& options, Findings& findings, Progress& progress) {
    const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, options.threads);
    OpenInputs inputs = open_inputs(project, findings);
    require_sound(project, findings, options.strict);
    const std::string output = checked_output(project, options, inputs);
    const Digest digest = options.strict ? Digest::whole : Digest::ends;
    const std::vector<InputFile> files = fingerprints(project, inputs, digest);

    static_cast<void>(shares_of(options, 0, inputs, project.settings));  // too little is told before anything is read
    Creeks creeks =
        make_reaches(project, inputs, {.most_bytes = bytes_for_creeks(options.memory_mib)}, findings, progress);
    WaterLeading leading(project, inputs, creeks);
    const Subbasins subbasins(project, inputs, creeks, findings);
    const MemoryShares shares =
        shares_of(options, creeks.bytes() + subbasins.tracing_bytes(), inputs, project.settings);

    const WorkFolder work(output + ".work");
    Plan plan =
        make_plan(project, inputs, creeks, work.path(), {.tile_side_m = shares.tile_side_m}, findings, progress);
    look_at_heights(project, inputs, plan, findings);
    require_sound(project, findings, options.strict);
    inputs.close_layers();
    release_free_memory();
    const SpoolFormat format{plan_fingerprint(project, files), rules_from(project.settings).options.size(),
                             project.settings.scenarios.size(), project.settings.output.storage_curve};
    GatheredRows rows(work.path() / "all", format, {plan.roofs.size(), plan.parcels.size()});
    SpoolWriter spool(work.path(), format, rows);
    const ComputedRows computed =
        compute_rows({project, inputs, plan, work.path(), options}, shares, spool, findings, progress);
    plan.let_go_of_places();
    leading.finish(findings, progress);
    require_unchanged(project, inputs, files, digest);
    inputs.close_rasters();
    release_free_memory();

    if (!rows.complete()) {
        internal_error("the tiles together do not hold every input row");
    }
    GeoPackageWriter writer(output, {.crs = inputs.output_crs,
                                     .timestamp = newest_input_time(files),
                                     .layers = output_layers(project.settings),
                                     .closed_lists = {kOutputLists.begin(), kOutputLists.end()},
                                     .relations = output_relations()});
    const LibraryVersions libraries = library_versions();
    RunCounts counts = gather({.project = project,
                               .inputs = inputs,
                               .plan = plan,
                               .creeks = creeks,
                               .subbasins = subbasins,
                               .files = files,
                               .findings = findings,
                               .rows = rows,
                               .writer = writer,
                               .libraries = libraries,
                               .mean_year_mm = computed.mean_year_mm,
                               .stations_used = computed.stations_used,
                               .threads = options.threads,
                               .strict = options.strict},
                              progress);
    return {std::move(counts), output, computed.blocks};
}

}  // namespace eaveshed
