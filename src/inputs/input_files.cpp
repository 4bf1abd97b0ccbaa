#include "eaveshed/inputs/input_files.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "eaveshed/files/paths.hpp"
#include "eaveshed/settings/table.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

// One source: as given, and the files it turned out to be (a glob or a mosaic has several).
struct Source {
    std::string setting;
    std::vector<std::string> given;
    std::vector<std::string> files;
};

// Of every input on which a row can depend.
std::vector<Source> sources(const Project& project, const Inputs& inputs) {
    std::vector<Source> list;
    for (const Setting* const input : input_settings()) {
        if (!inputs.has(*input)) {
            continue;
        }
        const std::vector<InputPlace> places = places_of(*input, inputs);
        for (const InputPlace& place : places) {
            list.push_back({name_of(*input, place.item), paths_of(*input, project.settings, place.item), place.files});
        }
        if (places.empty()) {
            list.push_back({name_of(*input), paths_of(*input, project.settings), paths_of(*input, project.resolved)});
        }
    }
    return list;
}

std::string file_name(const std::string& path) {
    const auto slash = path.find_last_of('/');
    return slash == std::string::npos ? path : path.substr(slash + 1);
}

}  // namespace

std::vector<FileRead> files_read(const Project& project, const Inputs& inputs) {
    std::vector<FileRead> files;
    for (const Setting* const input : input_settings()) {
        const std::vector<InputPlace> places = places_of(*input, inputs);
        for (const InputPlace& place : places) {
            for (const std::string& path : place.files) {
                files.push_back({place.where, path});
            }
        }
        for (std::size_t item = 0; places.empty() && item < items_of(*input, project.resolved); ++item) {
            for (const std::string& path : paths_of(*input, project.resolved, item)) {
                files.push_back({name_of(*input), path});
            }
        }
    }
    return files;
}

std::vector<InputFile> fingerprints(const Project& project, const Inputs& inputs, Digest digest) {
    std::vector<InputFile> files;
    for (const Source& source : sources(project, inputs)) {
        for (std::size_t i = 0; i < source.files.size(); ++i) {
            const std::string& path = source.files[i];
            const bool one_to_one = source.given.size() == source.files.size();
            const std::string given = one_to_one ? source.given[i] : file_name(path);
            files.push_back({source.setting, fingerprint(setting_and_path(source.setting, path), path, given, digest)});
            for (const std::string& companion : companion_files(path)) {
                files.push_back({source.setting, fingerprint(setting_and_path(source.setting, companion), companion,
                                                             file_name(companion), digest)});
            }
        }
    }
    return files;
}

std::string newest_input_time(const std::vector<InputFile>& files) {
    std::string newest = "1970-01-01T00:00:00Z";
    for (const InputFile& file : files) {
        newest = std::max(newest, file.fingerprint.modified_utc);
    }
    return newest.substr(0, newest.size() - 1) + ".000Z";
}

std::optional<Date> newest_input_day(const Project& project, const Inputs& inputs) {
    std::string newest;
    for (const FileRead& file : files_read(project, inputs)) {
        newest = std::max(newest, modified_utc(file.path));
    }
    return date_from_text(newest, Calendar::standard);
}

}  // namespace eaveshed
