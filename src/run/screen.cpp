#include "eaveshed/run/screen.hpp"

#include <tbb/global_control.h>
#include <tbb/parallel_for.h>
#include <tbb/task.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <filesystem>
#include <memory>
#include <mutex>

#include "eaveshed/core/error.hpp"
#include "eaveshed/feed/tile_loader.hpp"
#include "eaveshed/files/file.hpp"
#include "eaveshed/opening/input_files.hpp"
#include "eaveshed/opening/open_inputs.hpp"
#include "eaveshed/progress/free_memory.hpp"
#include "eaveshed/project/read_settings.hpp"
#include "eaveshed/publish/coverage.hpp"
#include "eaveshed/publish/gather.hpp"
#include "eaveshed/publish/run_record.hpp"
#include "eaveshed/site/rules.hpp"
#include "eaveshed/store/spool.hpp"
#include "eaveshed/tile/evaluate.hpp"

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

struct TileWork {
    const Project& project;
    const OpenInputs& inputs;
    const Plan& plan;
    const BasinClimate& climate;
    const fs::path& spool;
    const SpoolFormat& format;
};

// Workers take the tiles one by one in their order, so that all of them are in one part of the basin and share the
// blocks of its rasters.
BlockCounts evaluate_tiles(const TileWork& work, const MemoryShares& shares, Progress& progress) {
    const RunRasters rasters(work.inputs, shares.block_bytes);
    const TileNeeds needs(rasters, work.project.resolved, work.inputs, work.plan);
    std::mutex opening;  // the coordinate reference systems that loaders copy are not safe to read from two threads
    std::atomic<std::size_t> next{0};
    progress.begin("screening", work.plan.roofs.size(), "roofs");
    const auto take_tiles = [&](unsigned /*worker*/) {
        std::unique_ptr<TileLoader> loader;
        for (std::size_t tile = next++; tile < work.plan.tiles.size(); tile = next++) {
            if (tbb::is_current_task_group_canceling()) {
                return;
            }
            stop_if_requested();
            if (!loader) {
                const std::scoped_lock lock(opening);
                loader = std::make_unique<TileLoader>(work.project, work.inputs, work.plan, work.climate, rasters);
            }
            const TileInput input = loader->load(work.plan.tiles[tile]);
            needs.done(tile);
            const TileRows result = evaluate_tile(input, work.project.settings);
            write_tile(work.spool, tile, work.format, result);
            progress.advance(result.roofs.size());
        }
    };
    tbb::parallel_for(0U, shares.threads, take_tiles, tbb::simple_partitioner());
    progress.end();
    return rasters.cache->counts();
}

MemoryShares shares_of(const ScreenOptions& options, const Inputs& inputs, const Settings& settings) {
    MemoryShares shares = share_memory(options.memory_mib, options.threads, inputs, settings);
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

    const MemoryShares shares = shares_of(options, inputs, project.settings);

    const WorkFolder work(output + ".work");
    Plan plan = make_plan(project, inputs, work.path(), {.tile_side_m = shares.tile_side_m}, findings, progress);
    inputs.close_layers();
    release_free_memory();
    BasinClimate climate = read_climate(project, inputs, plan, climate_options(shares, work.path()), findings);
    inputs.close_climate();
    require_sound(project, findings, options.strict);
    const SpoolFormat format{plan_fingerprint(project, files), rules_from(project.settings).options.size(),
                             project.settings.scenarios.size()};
    const BlockCounts blocks = evaluate_tiles({project, inputs, plan, climate, work.path(), format}, shares, progress);
    require_unchanged(project, inputs, files, digest);
    plan.let_go_of_places();
    climate = {};
    release_free_memory();

    RunCounts counts = gather({.project = project,
                               .inputs = inputs,
                               .plan = plan,
                               .files = files,
                               .findings = findings,
                               .spool = work.path(),
                               .format = format,
                               .output = output,
                               .threads = options.threads,
                               .strict = options.strict},
                              progress);
    return {std::move(counts), output, project.settings.season.term_years, inputs.layer("parcels.source") != nullptr,
            blocks};
}

}  // namespace eaveshed
