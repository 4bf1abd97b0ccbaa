#include "eaveshed/result/recorded_run.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <filesystem>

#include "eaveshed/core/error.hpp"
#include "eaveshed/inputs/input_files.hpp"
#include "eaveshed/project/from_rows.hpp"
#include "eaveshed/project/read_settings.hpp"
#include "eaveshed/settings/table.hpp"
#include "eaveshed/words/version.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr std::string_view kSettingPrefix = "setting.";
constexpr std::string_view kInputPrefix = "input.";

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

namespace {

// "input.007.path" of consecutive rows into one input each.
std::vector<RecordedInput> recorded_inputs(const NamedTexts& record) {
    std::vector<RecordedInput> inputs;
    for (const auto& [key, value] : record) {
        if (!key.starts_with(kInputPrefix)) {
            continue;
        }
        const std::string part = key.substr(key.rfind('.') + 1);
        if (part == "setting") {
            inputs.push_back({.setting = value, .path = {}, .sha256 = {}});
        } else if (inputs.empty()) {
            continue;
        } else if (part == "path") {
            inputs.back().path = value;
        } else if (part == "sha256") {
            inputs.back().sha256 = value;
        } else if (part == "size_bytes") {
            std::from_chars(value.data(), value.data() + value.size(), inputs.back().size);
        }
    }
    return inputs;
}

// Inputs that the settings give and on which a row can depend; patterns are left to those who read them.
void require_there(const Project& project, const std::string& file, bool has_project_file) {
    std::vector<std::string> missing;
    for (const Setting& setting : settings_table()) {
        if (!setting.role) {
            continue;
        }
        for (std::size_t item = 0; item < items_of(setting, project.resolved); ++item) {
            for (const std::string& path : paths_of(setting, project.resolved, item)) {
                std::error_code fault;
                if (path.find_first_of("*?[") == std::string::npos && !std::filesystem::exists(path, fault)) {
                    missing.push_back(setting_and_path(name_of(setting), path));
                }
            }
        }
    }
    if (!missing.empty()) {
        throw input_error(
            file, "inputs of its run record that are not there: " + listed(missing), "the inputs that were screened",
            has_project_file ? "name the project file that was screened; paths count from its folder"
                             : "give --project PROJECT.toml, the file that was screened: its folder tells where "
                               "the inputs are");
    }
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

RecordedRun recorded_run(const ResultReader& result, const std::string& file, const std::string& project_file,
                         Findings& findings) {
    const Settings settings = recorded_settings(result, file);
    RecordedRun run{.file = file,
                    .program_version = result.record_value("program.version"),
                    .project = project_of(settings, project_file.empty() ? file : project_file),
                    .inputs = recorded_inputs(result.record())};
    if (!project_file.empty()) {
        warn_of_project(settings, project_file, findings);
    }
    require_there(run.project, file, !project_file.empty());
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
