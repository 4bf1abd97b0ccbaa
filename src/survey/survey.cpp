#include "eaveshed/survey/survey.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <span>
#include <string_view>

#include "eaveshed/core/error.hpp"
#include "eaveshed/words/wording.hpp"
#include "survey_grid.hpp"
#include "survey_layers.hpp"

namespace eaveshed {

namespace {

namespace fs = std::filesystem;

constexpr std::array<std::string_view, 8> kVectorFiles{".gpkg", ".fgb", ".geojson", ".json",
                                                       ".shp",  ".csv", ".xlsx",    ".tsv"};
constexpr std::array<std::string_view, 7> kRasterFiles{".tif", ".tiff", ".asc", ".vrt", ".nc", ".nc4", ".img"};

bool is_one_of(std::span<const std::string_view> endings, const std::string& path) {
    return std::ranges::find(endings, lower_case(fs::path(path).extension().string())) != endings.end();
}

// A folder's files that may be inputs: what else lies there is no mistake.
std::vector<std::string> inputs_in(const std::string& folder) {
    std::vector<std::string> files;
    for (const fs::directory_entry& entry : fs::directory_iterator(folder)) {
        const std::string path = entry.path().string();
        if (entry.is_regular_file() && (is_one_of(kVectorFiles, path) || is_one_of(kRasterFiles, path))) {
            files.push_back(path);
        }
    }
    std::ranges::sort(files);
    return files;
}

bool has_layer(const FileSeen& seen, std::string_view name) {
    return std::ranges::any_of(seen.layers, [&](const LayerSeen& layer) { return layer.name == name; });
}

}  // namespace

std::vector<std::string> files_to_survey(const std::vector<std::string>& names) {
    std::vector<std::string> files;
    for (const std::string& name : names) {
        std::error_code none;
        if (fs::is_directory(name, none)) {
            const std::vector<std::string> inside = inputs_in(name);
            files.insert(files.end(), inside.begin(), inside.end());
        } else if (fs::exists(name, none)) {
            files.push_back(name);
        } else {
            throw input_error(printable(name), "no file or folder of this name", "files to draft a project from",
                              "correct the name");
        }
    }
    return files;
}

FileSeen survey(const std::string& path, Findings& findings) {
    FileSeen seen;
    seen.path = path;
    try {
        if (is_one_of(kVectorFiles, path)) {
            seen.layers = layers_seen(path, findings);
            seen.own_result = has_layer(seen, "run_record") && has_layer(seen, "roofs");
        } else if (is_one_of(kRasterFiles, path)) {
            seen.grid = grid_seen(path, findings);
        } else {
            seen.trouble = "a name that ends in no format that a project reads";
        }
    } catch (const Error& error) {
        seen.trouble = error.what();
    }
    return seen;
}

}  // namespace eaveshed
