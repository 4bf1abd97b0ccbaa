#include "eaveshed/project/project.hpp"

#include <filesystem>
#include <fstream>
#include <sstream>
#include <variant>

#include "eaveshed/core/error.hpp"
#include "eaveshed/network/address.hpp"
#include "eaveshed/project/read_settings.hpp"
#include "eaveshed/settings/table.hpp"

namespace eaveshed {

namespace {

constexpr std::uintmax_t kLargestProjectFile = 16U << 20U;

std::string text_of(const std::string& file) {
    std::error_code fault;
    const auto status = std::filesystem::status(file, fault);
    if (!std::filesystem::exists(status)) {
        throw input_error(file, "no such file", "a project file (TOML)", "check the path; see `eaveshed help formats`");
    }
    if (!std::filesystem::is_regular_file(status)) {
        throw input_error(file, "something that is no file", "a project file (TOML)", "name the file itself");
    }
    if (std::filesystem::file_size(file, fault) > kLargestProjectFile) {
        throw input_error(file, "a file of more than 16 MiB", "a project file (TOML)",
                          "name the project file; inputs are named inside it");
    }
    std::ifstream in(file, std::ios::binary);
    std::ostringstream text;
    if (!in || !(text << in.rdbuf())) {
        throw input_error(file, "a file that cannot be read, or an empty one", "a project file (TOML)",
                          "check its permissions and content");
    }
    return text.str();
}

// Calls `edit` with the setting's name and each path that is given.
template <typename Edit>
void for_each_path(Settings& settings, const Edit& edit) {
    const auto edit_given = [&edit](const std::string& name, std::string& path) {
        if (!path.empty()) {
            edit(name, path);
        }
    };
    for (const Setting& setting : settings_table()) {
        for (std::size_t item = 0; item < items_of(setting, settings); ++item) {
            const std::string name = name_of(setting, item);
            if (setting.kind == Kind::path) {
                edit_given(name, std::get<Reach<std::string>>(setting.access).edit(settings, item));
            } else if (setting.kind == Kind::paths) {
                for (std::string& path :
                     std::get<Reach<std::vector<std::string>>>(setting.access).edit(settings, item)) {
                    edit_given(name, path);
                }
            }
        }
    }
}

Settings with_resolved_paths(Settings settings, const std::string& file) {
    for_each_path(settings,
                  [&file](const std::string& /*name*/, std::string& path) { path = resolved_path(file, path); });
    return settings;
}

// Users, passwords and signatures of addresses go no further than this: requests find them by the address without.
void keep_addresses(Settings& settings) {
    for_each_path(settings, [](const std::string& name, std::string& path) {
        path = is_address(path) ? keep_address(name, path) : path;
    });
}

}  // namespace

void accept_as_told(const Settings& settings, Findings& findings) {
    std::vector<CheckCode> accepted;
    for (const std::string& word : settings.check.accepted) {
        accepted.push_back(from_text<CheckCode>(word).value());
    }
    findings.accept(std::move(accepted));
}

Project load_project(const std::string& file, Findings& findings) {
    Findings words;
    auto settings = read_settings(text_of(file), file, words);
    if (!settings) {
        throw error_of(words, file);
    }
    keep_addresses(*settings);
    accept_as_told(*settings, findings);
    for (const Finding& finding : words.list()) {
        findings.add(finding);
    }
    return project_of(*settings, file);
}

void keep_addresses_of(const std::string& file) {
    std::error_code fault;
    if (std::filesystem::is_regular_file(file, fault)) {
        Findings words;
        auto settings = read_settings(text_of(file), file, words);
        if (settings) {
            keep_addresses(*settings);
        }
    }
}

std::string with_given_paths(const Project& project, std::string message) {
    const std::string folder = project.file.substr(0, project.file.rfind('/') + 1);
    const auto begins_a_path = [&](std::size_t at) {
        return at == 0 || message[at - 1] == '"' || message[at - 1] == '\'';
    };
    for (std::size_t at = 0; !folder.empty() && (at = message.find(folder, at)) != std::string::npos; ++at) {
        if (begins_a_path(at)) {
            message.erase(at, folder.size());
        }
    }
    return message;
}

Project project_of(const Settings& settings, const std::string& file) {
    return {file, settings, with_resolved_paths(settings, file)};
}

}  // namespace eaveshed
