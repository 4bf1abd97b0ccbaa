#include "basin_made.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <map>

#include "eaveshed/settings/table.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

std::string file_name(const std::string& path) {
    return std::filesystem::path(path).filename().string();
}

// The setting behind a name of effective_settings: without the number of its table and the name of a coefficient.
const Setting* setting_of(const std::string& name) {
    const auto first = name.find('.');
    const auto last = name.rfind('.');
    if (const Setting* const plain = find_setting(name)) {
        return plain;
    }
    return last > first ? find_setting(name.substr(0, first) + name.substr(last)) : nullptr;
}

}  // namespace

void fill_made(PageValues& page, const SummaryFacts& facts, const std::vector<RecordedInput>& inputs) {
    page.text(
        "MADE",
        fmt::format("By eaveshed {} from {}. The file's table run_record holds every setting after defaults, "
                    "and the fingerprints of all inputs; every step behind one row can be shown (eaveshed explain).",
                    facts.record.text("program.version"), file_name(facts.file())));
    const std::vector<ChangedSetting> changed = changed_settings(facts.settings);
    if (!changed.empty()) {
        PageValues table = page.add("SETTINGS");
        for (const ChangedSetting& setting : changed) {
            PageValues line = table.add("SETTING");
            line.text("SETTING_NAME", setting.name);
            line.text("SETTING_HERE", setting.here.empty() ? "-" : setting.here);
            line.text("SETTING_DEFAULT", setting.by_default.empty() ? "-" : setting.by_default);
        }
    }
    if (!inputs.empty()) {
        constexpr std::size_t kDigits = 12;
        PageValues table = page.add("INPUTS");
        for (const RecordedInput& input : inputs) {
            PageValues line = table.add("INPUT");
            line.text("INPUT_SETTING", input.setting);
            line.text("INPUT_FILE", file_name(input.path));
            line.text("INPUT_DIGEST", input.sha256.substr(0, kDigits));
        }
    }
}

std::vector<ChangedSetting> changed_settings(const Settings& settings) {
    std::map<std::string, std::string> defaults;
    for (auto& [name, value] : effective_settings(Settings{})) {
        defaults.emplace(std::move(name), std::move(value));
    }
    std::vector<ChangedSetting> changed;
    for (const auto& [name, value] : effective_settings(settings)) {
        const auto by_default = defaults.find(name);
        const std::string usual = by_default == defaults.end() ? std::string() : by_default->second;
        if (value == usual) {
            continue;
        }
        const Setting* const setting = setting_of(name);
        const bool is_path = setting != nullptr && (setting->kind == Kind::path || setting->kind == Kind::paths);
        // Of files the table of inputs tells; the output is what the reader holds.
        if (!is_path && name != "basin.output") {
            changed.push_back({name, value, usual});
        }
    }
    return changed;
}

}  // namespace eaveshed
