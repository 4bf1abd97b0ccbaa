#include "eaveshed/inputs/input_files.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <span>

#include "eaveshed/files/paths.hpp"
#include "eaveshed/settings/table.hpp"
#include "eaveshed/words/version.hpp"

namespace eaveshed {

namespace {

// One source: as given, as resolved, and the files it turned out to be (a glob or a mosaic has several).
struct Source {
    std::string setting;
    std::vector<std::string> given;
    std::vector<std::string> files;
};

std::vector<Source> sources(const Project& project, const Inputs& inputs) {
    std::vector<Source> list;
    const auto vector = [&](const char* setting, const std::optional<VectorInfo>& info, const LayerSource& given) {
        if (info) {
            list.push_back({setting, {given.source}, {info->file}});
        }
    };
    const Settings& given = project.settings;
    vector("footprints.source", inputs.footprints, given.footprints.from);
    vector("parcels.source", inputs.parcels, given.parcels.from);
    vector("use_points.source", inputs.use_points, given.use_points.from);
    vector("streams.source", inputs.streams, given.streams.from);
    for (std::size_t i = 0; i < inputs.exclusions.size(); ++i) {
        list.push_back({fmt::format("exclusions.{}.source", i + 1),
                        {given.exclusions[i].from.source},
                        {inputs.exclusions[i].file}});
    }
    vector("roads.source", inputs.roads, given.roads.from);
    if (inputs.overrides) {
        list.push_back({"overrides.source", {given.overrides.from.source}, {inputs.overrides->info.file}});
    }
    if (inputs.former_roofs) {
        list.push_back({"overrides.former", {given.overrides.former}, {inputs.former_roofs->file}});
    }
    if (inputs.terrain) {
        list.push_back({"terrain.elevation", given.terrain.elevation, inputs.terrain->files});
    }
    if (inputs.surface) {
        list.push_back({"terrain.surface", given.terrain.surface, inputs.surface->files});
    }
    if (inputs.canopy) {
        list.push_back({"canopy.source", given.canopy, inputs.canopy->files});
    }
    if (inputs.rain) {
        list.push_back({"rain.source", given.rain.source, inputs.rain->files});
    }
    if (inputs.et0) {
        list.push_back({"evapotranspiration.source", given.evapotranspiration.source, inputs.et0->files});
    }
    if (inputs.minimum_temperature) {
        list.push_back({"temperature.minimum", given.temperature.minimum, inputs.minimum_temperature->files});
        list.push_back({"temperature.maximum", given.temperature.maximum, inputs.maximum_temperature->files});
    }
    return list;
}

std::string file_name(const std::string& path) {
    const auto slash = path.find_last_of('/');
    return slash == std::string::npos ? path : path.substr(slash + 1);
}

}  // namespace

std::vector<InputFile> fingerprints(const Project& project, const Inputs& inputs, Digest digest) {
    std::vector<InputFile> files;
    for (const Source& source : sources(project, inputs)) {
        for (std::size_t i = 0; i < source.files.size(); ++i) {
            const std::string& path = source.files[i];
            const bool one_to_one = source.given.size() == source.files.size();
            const std::string given = one_to_one ? source.given[i] : file_name(path);
            files.push_back({source.setting, fingerprint(source.setting, path, given, digest)});
            for (const std::string& companion : companion_files(path)) {
                files.push_back({source.setting, fingerprint(source.setting, companion, file_name(companion), digest)});
            }
        }
    }
    return files;
}

std::string plan_fingerprint(const Project& project, const std::vector<InputFile>& files) {
    std::string text = program_version() + '\n';
    for (const auto& [name, value] : effective_settings(project.settings)) {
        text += name + '=' + value + '\n';
    }
    for (const InputFile& file : files) {
        text += file.setting + ' ' + std::to_string(file.fingerprint.size) + ' ' + file.fingerprint.modified_utc + ' ' +
                file.fingerprint.sha256 + '\n';
    }
    return sha256_hex(std::span(reinterpret_cast<const unsigned char*>(text.data()), text.size()));
}

std::string newest_input_time(const std::vector<InputFile>& files) {
    std::string newest = "1970-01-01T00:00:00Z";
    for (const InputFile& file : files) {
        newest = std::max(newest, file.fingerprint.modified_utc);
    }
    return newest.substr(0, newest.size() - 1) + ".000Z";
}

}  // namespace eaveshed
