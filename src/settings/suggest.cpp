#include "eaveshed/settings/suggest.hpp"

#include <vector>

#include <fmt/format.h>

#include "eaveshed/core/spelling.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kMostHomes = 2;   // a key of more sections, such as source, says nothing about where it belongs
constexpr std::size_t kMostNames = 16;  // in one message

// The sections that have the key: "[tanks] or [cost]"; empty when none has, or too many.
std::string homes_of(std::string_view key) {
    std::string homes;
    std::size_t count = 0;
    for (const Setting& setting : settings_table()) {
        if (setting.key == key) {
            homes += homes.empty() ? "" : " or ";
            homes += brackets(*find_section(setting.section));
            ++count;
        }
    }
    return count > kMostHomes ? std::string{} : homes;
}

// Keys of one section, or of all.
std::vector<std::string_view> keys_of(const Section* section) {
    std::vector<std::string_view> keys;
    for (const Setting& setting : settings_table()) {
        if (section == nullptr || setting.section == section->name) {
            keys.push_back(setting.key);
        }
    }
    return keys;
}

std::string suggestion_anywhere(std::string_view key) {
    const std::string nearest(closest_name(key, keys_of(nullptr)));
    if (nearest.empty() || nearest == key) {  // the same word belongs to too many sections
        return {};
    }
    const std::string homes = homes_of(nearest);
    return homes.empty() ? fmt::format("did you mean {}?", nearest)
                         : fmt::format("did you mean {} of {}?", nearest, homes);
}

}  // namespace

std::string brackets(const Section& section) {
    return section.repeated ? fmt::format("[[{}]]", section.name) : fmt::format("[{}]", section.name);
}

std::string suggestion_for_section(std::string_view name) {
    std::vector<std::string_view> names;
    for (const Section& section : settings_sections()) {
        names.push_back(section.name);
    }
    const std::string nearest(closest_name(name, names));
    return nearest.empty() ? "`eaveshed settings` lists all sections"
                           : fmt::format("did you mean {}?", brackets(*find_section(nearest)));
}

std::string suggestion_for_key(std::string_view key, const Section& section) {
    if (const std::string homes = homes_of(key); !homes.empty()) {
        return fmt::format("it belongs to {}", homes);
    }
    const auto keys = keys_of(&section);
    if (const std::string_view nearest = closest_name(key, keys); !nearest.empty()) {
        return fmt::format("did you mean {}?", nearest);
    }
    if (std::string elsewhere = suggestion_anywhere(key); !elsewhere.empty()) {
        return elsewhere;
    }
    if (keys.size() > kMostNames) {
        return "`eaveshed settings` lists all settings";
    }
    return fmt::format("it has {}", fmt::join(keys, ", "));
}

std::string suggestion_for_key(std::string_view key) {
    if (const std::string homes = homes_of(key); !homes.empty()) {
        return fmt::format("write it below {}", homes);
    }
    const std::string elsewhere = suggestion_anywhere(key);
    return elsewhere.empty() ? "write settings below a section, such as [rain]" : elsewhere;
}

}  // namespace eaveshed
