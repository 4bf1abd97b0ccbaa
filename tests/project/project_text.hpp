// The least project file, and ways to add to it.
#pragma once

#include <string>
#include <string_view>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/finding.hpp"
#include "eaveshed/project/read_settings.hpp"
#include "eaveshed/settings/table.hpp"

namespace eaveshed::testing {

inline constexpr std::string_view kFootprints = "[footprints]\nsource = \"roofs.gpkg\"\n";
inline constexpr std::string_view kTerrain = "[terrain]\nelevation = \"dem.tif\"\n";
inline constexpr std::string_view kRain = "[rain]\nsource = \"rain.tif\"\n";

inline std::string brackets_around(std::string_view section) {
    const bool repeated = find_section(section)->repeated;
    std::string text = repeated ? "[[" : "[";
    text += section;
    text += repeated ? "]]" : "]";
    return text;
}

// The required settings and `lines` in one section.
inline std::string project_with(std::string_view section, std::string_view lines) {
    std::string text;
    for (const std::string_view required : {kFootprints, kTerrain, kRain}) {
        text += required;
        if (required.substr(1, required.find(']') - 1) == section) {
            text += lines;
            text += '\n';
        }
    }
    if (section != "footprints" && section != "terrain" && section != "rain") {
        text += brackets_around(section);
        text += '\n';
        text += lines;
        text += '\n';
    }
    return text;
}

// The required settings and whole sections after them.
inline std::string project_and(std::string_view sections) {
    std::string text;
    for (const std::string_view part : {kFootprints, kTerrain, kRain, sections}) {
        text += part;
    }
    return text;
}

inline Settings loaded(std::string_view project) {
    return load_settings(project, "basin.toml");
}

// What the text's error says; empty when it loads. Fails when the error is not one of input.
inline std::string error_text(std::string_view project) {
    try {
        static_cast<void>(loaded(project));
    } catch (const Error& error) {
        return error.fault() == Fault::input ? error.what() : "not an input error";
    }
    return {};
}

inline Findings findings_of(std::string_view project) {
    Findings findings;
    static_cast<void>(read_settings(project, "basin.toml", findings));
    return findings;
}

}  // namespace eaveshed::testing
