#include "eaveshed/run/screen.hpp"

#include <tbb/global_control.h>

#include <array>
#include <filesystem>
#include <span>
#include <string_view>

#include "eaveshed/creeks/make_creeks.hpp"
#include "eaveshed/creeks/subbasins.hpp"
#include "eaveshed/evaluate/evaluate_tiles.hpp"
#include "eaveshed/feed/height_look.hpp"
#include "eaveshed/feed/planned_tiles.hpp"
#include "eaveshed/files/file.hpp"
#include "eaveshed/opening/open_inputs.hpp"
#include "eaveshed/parts/manifest.hpp"
#include "eaveshed/progress/free_memory.hpp"
#include "eaveshed/record/tile_row_sink.hpp"
#include "eaveshed/result/result_reader.hpp"
#include "eaveshed/sampling/check_plausibility.hpp"
#include "eaveshed/store/rows_file.hpp"
#include "steps.hpp"

namespace eaveshed {

namespace {

namespace fs = std::filesystem;

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
    return {.most_rain_bytes = shares.rain_bytes, .most_kept_bytes = kept_rain_bytes(shares), .folder = folder};
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

}  // namespace

namespace {

// What stays of the work folder of a run that ends before its result stands.
constexpr std::string_view kRowsName = "rows";
constexpr std::array<std::string_view, 2> kKept{kManifestName, kRowsName};

// Whether the output is the finished result of this very job.
bool is_finished(const std::string& output, const Identity& identity) {
    std::error_code fault;
    if (!fs::is_regular_file(output, fault)) {
        return false;
    }
    try {
        Findings of_reading;
        return differences(identity_in(ResultReader(output, of_reading).record()), identity).empty();
    } catch (const Error& error) {
        if (error.fault() == Fault::passing) {
            throw;
        }
        return false;  // no result of this program's
    }
}

// The side of the tiles whose rows the work folder keeps for this job; none where it keeps none. Rows of another job
// are an input error.
std::optional<double> kept_tile_side(const fs::path& work, const Identity& identity) {
    const std::optional<Manifest> manifest = read_manifest(work);
    if (!manifest) {
        return std::nullopt;
    }
    require_same(manifest->identity, identity, work.string(),
                 "give back what changed, or run without --resume: that begins anew");
    return manifest->tile_side_m;
}

// The work folder of a run, cleared but for what it takes up.
struct RunFolder {
    RunFolder(const std::string& output, bool resume, const Identity& identity)
        : work(output + ".work",
               resume ? std::span<const std::string_view>(kKept) : std::span<const std::string_view>()) {
        if (resume) {
            work.keep(kKept);  // also where it turns out to be another job's
            tile_side_m = kept_tile_side(work.path(), identity);
        }
    }

    WorkFolder work;
    std::optional<double> tile_side_m;  // of the rows that are taken up
};

}  // namespace

ScreenResult screen(const Project& project, const ScreenOptions& options, Findings& findings, Progress& progress) {
    const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, options.threads);
    OpenInputs inputs = open_inputs(project, findings);
    require_sound(project, findings, options.strict);
    const Digest digest = options.strict ? Digest::whole : Digest::ends;
    const std::vector<InputFile> files = fingerprints(project, inputs, digest);
    const Identity identity = identity_of(project, files);
    if (options.resume && is_finished(output_name(project, options), identity)) {
        remove_dead_work_folder(output_name(project, options) + ".work");
        return {.counts = {}, .output = output_name(project, options), .blocks = {}, .stood_before = true};
    }
    const std::string output = checked_output(project, options, inputs);

    static_cast<void>(shares_of(options, 0, inputs, project.settings));  // too little is told before anything is read
    RunFolder folder(output, options.resume, identity);
    const fs::path& work = folder.work.path();
    const CreekOptions for_creeks{.scratch = work};
    Creeks creeks = make_reaches(project, inputs, for_creeks, findings, progress);
    WaterLeading leading(project, inputs, for_creeks, creeks);
    const Subbasins subbasins(project, inputs, creeks, findings);
    const MemoryShares shares = shares_of(options, creeks.bytes(), inputs, project.settings);
    const double tile_side_m = folder.tile_side_m.value_or(shares.tile_side_m);
    Plan plan = make_plan(project, inputs, creeks, work, {.tile_side_m = tile_side_m}, findings, progress);
    look_at_heights(project, inputs, plan, findings);
    require_sound(project, findings, options.strict);
    inputs.close_layers();
    release_free_memory();
    const SpoolFormat format = spool_format(project, identity);
    write_manifest(work, {.identity = identity, .tile_side_m = tile_side_m});
    folder.work.keep(kKept);
    std::vector<RowsFile> rows;
    rows.emplace_back(work / kRowsName, format, RowsOf{0, tile_sizes(plan)}, RowsFile::Begin::taken_up);
    const ComputedRows computed =
        compute_rows({project, inputs, plan, work, options}, shares, rows.front(), findings, progress);
    plan.let_go_of_places();
    leading.finish(findings, progress);
    folder.work.keep({});  // rows of inputs that changed meanwhile are for nobody
    require_unchanged(project, inputs, files, digest);
    folder.work.keep(kKept);
    inputs.close_rasters();
    release_free_memory();
    RunCounts counts =
        write_result({.project = project,
                      .inputs = inputs,
                      .plan = plan,
                      .creeks = creeks,
                      .subbasins = subbasins,
                      .files = files,
                      .mean_year_mm = computed.mean_year_mm,
                      .stations_used = computed.stations_used,
                      .threads = options.threads,
                      .strict = options.strict},
                     GatheredRows(format, {plan.roofs.size(), plan.parcels.size()}, std::move(rows), work), output,
                     work, findings, progress);
    clear_away(folder.work, findings);
    return {counts, output, computed.blocks};
}

}  // namespace eaveshed
