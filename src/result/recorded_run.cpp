#include "eaveshed/result/recorded_run.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <filesystem>
#include <optional>

#include "eaveshed/core/error.hpp"
#include "eaveshed/inputs/input_files.hpp"
#include "eaveshed/network/address.hpp"
#include "eaveshed/project/from_rows.hpp"
#include "eaveshed/project/read_settings.hpp"
#include "eaveshed/settings/table.hpp"
#include "eaveshed/words/version.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr std::string_view kSettingPrefix = "setting.";
constexpr std::string_view kInputPrefix = "input.";

namespace fs = std::filesystem;

using NamedTexts = std::vector<std::pair<std::string, std::string>>;

}  // namespace

Settings recorded_settings(const ResultReader& result, const std::string& file) {
    NamedTexts rows;
    for (const auto& [key, value] : result.record()) {
        if (key.starts_with(kSettingPrefix)) {
            rows.emplace_back(key.substr(kSettingPrefix.size()), value);
        }
    }
    const std::string where = file + ", run record";
    Findings faults;
    const auto settings = settings_from_rows(rows, where, faults);
    if (!settings) {
        throw error_of(faults, where);
    }
    return *settings;
}

// "input.007.path" of consecutive rows into one input each.
std::vector<RecordedInput> recorded_inputs(const ResultReader& result) {
    std::vector<RecordedInput> inputs;
    for (const auto& [key, value] : result.record()) {
        if (!key.starts_with(kInputPrefix)) {
            continue;
        }
        const std::string part = key.substr(key.rfind('.') + 1);
        if (part == "setting") {
            inputs.push_back({.setting = value, .path = {}, .sha256 = {}, .modified = {}});
        } else if (inputs.empty()) {
            continue;
        } else if (part == "path") {
            inputs.back().path = value;
        } else if (part == "sha256") {
            inputs.back().sha256 = value;
        } else if (part == "modified") {
            inputs.back().modified = value;
        } else if (part == "size_bytes") {
            std::from_chars(value.data(), value.data() + value.size(), inputs.back().size);
        }
    }
    return inputs;
}

namespace {

// Of the inputs that are needed those that are not there, each as a message names it.
std::vector<std::string> missing_inputs(const Project& project, std::span<const std::string_view> needed) {
    std::vector<std::string> missing;
    for (const std::string_view name : needed) {
        const Setting& setting = input_setting(name);
        for (std::size_t item = 0; item < items_of(setting, project.resolved); ++item) {
            for (const std::string& path : paths_of(setting, project.resolved, item)) {
                std::error_code fault;
                const bool glob = path.find_first_of("*?[") != std::string::npos;
                if (!is_address(path) && !glob && !fs::exists(path, fault)) {
                    missing.push_back(setting_and_path(name_of(setting, item), path));
                }
            }
        }
    }
    return missing;
}

// With a slash behind it where it is a folder: paths count from there.
std::string with_slash(const fs::path& folder) {
    const std::string text = folder.string();
    return text.empty() || text.ends_with('/') ? text : text + '/';
}

// The folder from which the recorded output leads to the file: of /data/out/basin.gpkg and "out/basin.gpkg" /data/.
// None where the output was named otherwise, or leads upwards.
std::optional<std::string> folder_by_output(const Settings& settings, const std::string& file) {
    const fs::path output = fs::path(settings.basin.output).lexically_normal();
    const fs::path there = fs::absolute(file).lexically_normal();
    if (output.empty() || output.is_absolute() || !output.has_parent_path() || *output.begin() == "..") {
        return std::nullopt;
    }
    const std::string ending = "/" + output.string();
    if (!there.string().ends_with(ending)) {
        return std::nullopt;
    }
    return there.string().substr(0, there.string().size() - ending.size() + 1);
}

// What the paths may count from, the likeliest first.
std::vector<std::string> places_to_look(const Settings& settings, const std::string& file, const std::string& named) {
    std::error_code fault;
    if (!named.empty()) {
        if (!fs::exists(named, fault)) {
            throw input_error("--project " + printable(named), "no such file or folder",
                              "the project file that was screened, or its folder", "check the path");
        }
        return {fs::is_directory(named, fault) ? with_slash(named) : named};
    }
    std::vector<std::string> places{file};
    if (auto by_output = folder_by_output(settings, file)) {
        places.push_back(std::move(*by_output));
    }
    return places;
}

std::string folders_of(const std::vector<std::string>& places) {
    std::vector<std::string> folders;
    for (const std::string& place : places) {
        const std::string folder = fs::path(place).parent_path().string();
        folders.push_back(folder.empty() ? "the folder in which you are" : folder);
    }
    return listed(folders);
}

// Names of the settings in which the two differ.
std::vector<std::string> differing_settings(const Settings& a, const Settings& b) {
    const NamedTexts in_a = effective_settings(a);
    const NamedTexts in_b = effective_settings(b);
    std::vector<std::string> names;
    const auto only_in = [&names](const NamedTexts& some, const NamedTexts& others) {
        for (const auto& entry : some) {
            const bool seen = std::ranges::find(names, entry.first) != names.end();
            if (!seen && std::ranges::find(others, entry) == others.end()) {
                names.push_back(entry.first);
            }
        }
    };
    only_in(in_a, in_b);
    only_in(in_b, in_a);
    return names;
}

void warn_of_project(const Settings& recorded, const std::string& project_file, Findings& findings) {
    Findings notes;
    const Project project = load_project(project_file, notes);
    const auto names = differing_settings(recorded, project.settings);
    if (!names.empty()) {
        findings.warn({project_file, "other settings than those of the run record: " + listed(names), "",
                       "the row is explained with the recorded ones; screen again to use the project's"});
    }
}

}  // namespace

Project recorded_project(const Settings& settings, const std::string& file, const std::string& named,
                         std::span<const std::string_view> needed) {
    const std::vector<std::string> places = places_to_look(settings, file, named);
    keep_addresses_of(named);
    for (const std::string& place : places) {
        Project project = project_of(settings, place);
        if (missing_inputs(project, needed).empty()) {
            return project;
        }
    }
    throw input_error(
        file,
        fmt::format("inputs of its run record that are not there: {}; looked for from {}",
                    listed(missing_inputs(project_of(settings, places.front()), needed)), folders_of(places)),
        "the inputs that were screened",
        named.empty()
            ? "give --project with the project file that was screened, or its folder: paths count from there; "
              "of inputs that were moved since, bring them back"
            : "name the project file that was screened, or its folder: paths count from there; of inputs "
              "that were moved since, bring them back");
}

std::vector<std::string> recorded_paths(const Settings& settings, const std::string& file, const std::string& named) {
    std::vector<std::string> paths{file};
    for (const std::string& place : places_to_look(settings, file, named)) {
        const Project project = project_of(settings, place);
        for (const Setting* const input : input_settings()) {
            for (std::size_t item = 0; item < items_of(*input, project.resolved); ++item) {
                const auto given = paths_of(*input, project.resolved, item);
                paths.insert(paths.end(), given.begin(), given.end());
            }
        }
    }
    return paths;
}

RecordedRun recorded_run(const ResultReader& result, const std::string& file, const std::string& named,
                         Findings& findings) {
    std::vector<std::string> names;
    for (const Setting* const input : input_settings()) {
        names.push_back(name_of(*input));
    }
    const std::vector<std::string_view> needed(names.begin(), names.end());
    const Settings settings = recorded_settings(result, file);
    RecordedRun run{.file = file,
                    .program_version = result.record_value("program.version"),
                    .project = recorded_project(settings, file, named, needed),
                    .inputs = recorded_inputs(result)};
    std::error_code fault;
    if (!named.empty() && !fs::is_directory(named, fault)) {
        warn_of_project(settings, named, findings);
    }
    if (run.program_version != program_version()) {
        findings.warn({file, fmt::format("a file of version {}", printable(run.program_version)),
                       "version " + program_version(), "what the versions compute otherwise shows as a difference"});
    }
    return run;
}

void compare_inputs(RecordedRun& run, const Inputs& inputs, Findings& findings) {
    const std::vector<InputFile> now = fingerprints(run.project, inputs, Digest::ends);
    std::vector<InputFile> whole;  // a strict screening took the digests of whole files
    for (RecordedInput& input : run.inputs) {
        const auto same = [&](const InputFile& file) {
            return file.setting == input.setting && file.fingerprint.path_as_given == input.path &&
                   file.fingerprint.size == input.size && file.fingerprint.sha256 == input.sha256;
        };
        if (std::ranges::any_of(now, same)) {
            continue;
        }
        if (whole.empty()) {
            whole = fingerprints(run.project, inputs, Digest::whole);
        }
        input.changed = std::ranges::none_of(whole, same);
        if (input.changed) {
            findings.warn({setting_and_path(input.setting, input.path), "another content than was screened",
                           "the input of that run", "the row may differ; screen again, or bring the old file back"});
        }
    }
    for (const InputFile& file : now) {
        const bool known = std::ranges::any_of(run.inputs, [&](const RecordedInput& input) {
            return input.setting == file.setting && input.path == file.fingerprint.path_as_given;
        });
        if (!known) {
            findings.warn({setting_and_path(file.setting, file.fingerprint.path_as_given),
                           "a file that was not there when the basin was screened", "the inputs of that run",
                           "the row may differ; screen again, or take it away"});
            run.inputs.push_back({.setting = file.setting,
                                  .path = file.fingerprint.path_as_given,
                                  .sha256 = {},
                                  .size = file.fingerprint.size,
                                  .changed = true});
        }
    }
}

}  // namespace eaveshed
