#include "steps.hpp"

#include "eaveshed/outside/library_versions.hpp"
#include "eaveshed/package/geopackage_writer.hpp"
#include "eaveshed/package/layers.hpp"
#include "eaveshed/project/read_settings.hpp"
#include "eaveshed/publish/coverage.hpp"
#include "eaveshed/publish/gather.hpp"
#include "eaveshed/publish/run_record.hpp"
#include "eaveshed/site/rules.hpp"

namespace eaveshed {

void require_sound(const Project& project, const Findings& findings, bool strict) {
    if (findings.count(Severity::error) > 0) {
        throw error_of(findings, project.file);
    }
    if (strict && findings.count(Severity::warning) > 0) {
        throw strict_error(project, findings, Fault::input);
    }
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

Identity identity_of(const Project& project, const std::vector<InputFile>& files) {
    return identity_rows(project, files, library_versions());
}

SpoolFormat spool_format(const Project& project, const Identity& identity) {
    return {fingerprint_of(identity), rules_from(project.settings).options.size(), project.settings.scenarios.size(),
            project.settings.output.storage_curve};
}

void clear_away(WorkFolder& work, Findings& findings) {
    if (!work.remove()) {
        findings.warn({work.path().string(), "a work folder that cannot be removed; the result is whole", "",
                       "remove it by hand, or let the next run of the same output do it"});
    }
}

std::size_t kept_rain_bytes(const MemoryShares& shares) {
    return std::min<std::size_t>(kRainKeptBytes, shares.rain_bytes / shares.threads);
}

RunCounts write_result(const ComputedBasin& basin, GatheredRows rows, const std::string& output,
                       const std::filesystem::path& work, Findings& findings, Progress& progress) {
    if (!rows.complete()) {
        internal_error("the tiles together do not hold every input row");
    }
    GeoPackageWriter writer(output, {.crs = basin.inputs.output_crs,
                                     .timestamp = newest_input_time(basin.files),
                                     .layers = output_layers(basin.project.settings),
                                     .closed_lists = {kOutputLists.begin(), kOutputLists.end()},
                                     .relations = output_relations(),
                                     .build_in = work});
    const LibraryVersions libraries = library_versions();
    return gather({.project = basin.project,
                   .inputs = basin.inputs,
                   .plan = basin.plan,
                   .creeks = basin.creeks,
                   .subbasins = basin.subbasins,
                   .files = basin.files,
                   .findings = findings,
                   .rows = rows,
                   .writer = writer,
                   .libraries = libraries,
                   .mean_year_mm = basin.mean_year_mm,
                   .stations_used = basin.stations_used,
                   .threads = basin.threads,
                   .scratch = work,
                   .strict = basin.strict},
                  progress);
}

}  // namespace eaveshed
