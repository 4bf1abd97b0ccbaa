#include "eaveshed/survey/survey.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <span>
#include <string_view>

#include "eaveshed/core/error.hpp"
#include "eaveshed/files/paths.hpp"
#include "eaveshed/files/refusal.hpp"
#include "eaveshed/gauges/gauge_rows.hpp"
#include "eaveshed/outside/gdal_setup.hpp"
#include "eaveshed/words/wording.hpp"
#include "survey_grid.hpp"
#include "survey_layers.hpp"

namespace eaveshed {

namespace {

namespace fs = std::filesystem;

constexpr std::array<std::string_view, 8> kVectorFiles{".gpkg", ".fgb", ".geojson", ".json",
                                                       ".shp",  ".csv", ".xlsx",    ".tsv"};
// Tables of gauges, or else a grid and a layer of other programs.
constexpr std::array<std::string_view, 2> kTextFiles{".txt", ".tab"};
constexpr std::array<std::string_view, 7> kRasterFiles{".tif", ".tiff", ".asc", ".vrt", ".nc", ".nc4", ".img"};

bool is_one_of(std::span<const std::string_view> endings, const std::string& path) {
    return std::ranges::find(endings, lower_case(fs::path(path).extension().string())) != endings.end();
}

// Belongs to a file beside it, or to the system.
bool is_part(const std::string& path) {
    static constexpr std::array<std::string_view, 19> kParts{".shx", ".dbf", ".prj", ".cpg", ".sbn",     ".sbx", ".qix",
                                                             ".qpj", ".qmd", ".qml", ".ovr", ".tfw",     ".xml", ".msk",
                                                             ".idx", ".aux", ".db",  ".ini", ".gpkg-wal"};
    const std::string leaf = fs::path(path).filename().string();
    return leaf.starts_with(".") || is_one_of(kParts, path) || lower_case(leaf).ends_with(".gpkg-shm") ||
           lower_case(leaf).ends_with(".gpkg-journal");
}

bool is_store(const fs::path& folder) {
    return lower_case(folder.extension().string()) == ".gdb" || is_zarr_store(folder.string());
}

// Why a folder cannot be read; empty where it can.
std::string folder_trouble(const std::string& folder) {
    std::error_code fault;
    static_cast<void>(fs::directory_iterator(folder, fault));
    return fault ? "a folder that cannot be read: " + fault.message() : "";
}

// A folder's files, with those that no project reads; what they are is said of each. Sub-folders to one level.
std::vector<std::string> inputs_in(const std::string& folder, bool deeper) {
    std::vector<std::string> files;
    std::vector<std::string> folders;
    std::error_code fault;
    fs::directory_iterator entries(folder, fault);
    if (fault) {
        return {folder};  // told when it is looked at
    }
    for (const fs::directory_entry& entry : entries) {
        const std::string path = entry.path().string();
        std::error_code none;
        if (is_part(path)) {
            continue;
        }
        (entry.is_directory(none) && !is_store(entry.path()) && deeper ? folders : files).push_back(path);
    }
    std::ranges::sort(files);
    std::ranges::sort(folders);
    for (const std::string& inner : folders) {
        const std::vector<std::string> inside = inputs_in(inner, false);
        files.insert(files.end(), inside.begin(), inside.end());
    }
    return files;
}

// " (ogr2ogr -f GPKG a.gpkg a.kml)"; empty without a command. GDAL's vector program names its result first, its raster
// program last.
std::string command_for(const std::string& path, std::string_view command, std::string_view ending) {
    if (command.empty()) {
        return {};
    }
    const fs::path name(path);
    const std::string from = shell_word(name.filename().string());
    const std::string to = ending.empty() ? "" : shell_word(name.stem().string() + std::string(ending));
    const std::string names = to.empty() ? from : command.starts_with("ogr2ogr") ? to + " " + from : from + " " + to;
    return " (" + std::string(command) + " " + names + ")";
}

// Why no project reads a file of this name, and what makes one of it that a project reads.
std::string why_unread(const std::string& path) {
    struct Kind {
        std::vector<std::string_view> endings;
        std::string_view what;
        std::string_view command;  // before the file's name
        std::string_view result;   // what it writes has this ending; empty: nothing is named
    };
    static const std::vector<Kind> kKinds{
        {{".zip"}, "packed: unpack it and draft again", "unzip", ""},
        {{".gz", ".tgz", ".tar", ".7z", ".rar", ".bz2", ".xz"}, "packed: unpack it and draft again", "", ""},
        {{".gdb"}, "a file geodatabase: make a GeoPackage of it", "ogr2ogr -f GPKG", ".gpkg"},
        {{".kml", ".kmz", ".gpx", ".gml", ".tab", ".mif", ".dxf", ".geojsonl", ".topojson"},
         "a format that no project reads: make a GeoPackage of it",
         "ogr2ogr -f GPKG",
         ".gpkg"},
        {{".bil", ".bip", ".bsq", ".flt", ".hgt", ".grd", ".grib", ".grb", ".grb2", ".adf", ".jp2", ".ecw"},
         "a raster that no project reads: make a GeoTIFF of it",
         "gdal_translate",
         ".tif"},
        {{".las", ".laz"}, "a cloud of points: a raster of elevations is needed", "", ""},
        {{".xls", ".ods"}, "a spreadsheet that is not read: save it as .xlsx or .csv", "", ""},
        {{".toml"}, "a project file, which is no input", "", ""},
    };
    for (const Kind& kind : kKinds) {
        if (is_one_of(kind.endings, path)) {
            return std::string(kind.what) + command_for(path, kind.command, kind.result);
        }
    }
    std::error_code none;
    if (!fs::is_directory(path, none)) {
        return "a name that ends in no format that a project reads";
    }
    const std::string trouble = folder_trouble(path);
    return trouble.empty() ? "a folder within a folder, which was not looked into: name it by itself" : trouble;
}

bool has_layer(const FileSeen& seen, std::string_view name) {
    return std::ranges::any_of(seen.layers, [&](const LayerSeen& layer) { return layer.name == name; });
}

bool is_layer_of_text(const std::string& path) {
    constexpr std::string_view kMark = "!table";  // MapInfo
    std::ifstream in(path);
    std::string first(kMark.size(), ' ');
    in.read(first.data(), static_cast<std::streamsize>(first.size()));
    return lower_case(first) == kMark;
}

// What lies in a file that can be read.
void look_into(FileSeen& seen, Findings& findings) {
    const std::string& path = seen.path;
    if (fs::path(path).filename().string().starts_with("~$")) {
        seen.trouble = "the mark of a spreadsheet that is open in another program, and no table";
    } else if (is_one_of(kVectorFiles, path)) {
        seen.layers = layers_seen(path, findings);
        seen.own_result = has_layer(seen, "run_record") && has_layer(seen, "roofs");
        seen.trouble = seen.layers.empty() ? "a file without a layer that can be read" : "";
    } else if (is_one_of(kTextFiles, path) && is_gauge_table(path) && !is_layer_of_text(path)) {
        seen.layers = text_seen(path);
        seen.only_gauges = true;
    } else if (is_one_of(kRasterFiles, path) || lower_case(path).ends_with(".txt") || is_zarr_store(path)) {
        seen.grid = grid_seen(path, findings);
    } else {
        seen.trouble = why_unread(path);
    }
}

}  // namespace

std::vector<std::string> files_to_survey(const std::vector<std::string>& names) {
    std::vector<std::string> files;
    for (const std::string& name : names) {
        std::error_code none;
        if (fs::is_directory(name, none) && !is_zarr_store(name)) {
            const std::vector<std::string> inside = inputs_in(name, true);
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

// Once more where there was trouble: what a disk refused once is not the file's fault.
FileSeen survey(const std::string& path, Findings& findings) {
    constexpr int kTries = 2;
    constexpr std::size_t kMostLetters = 500;
    FileSeen seen;
    Findings told;
    for (int i = 0; i < kTries && (i == 0 || !seen.trouble.empty()); ++i) {
        seen = {};
        seen.path = path;
        told = {};
        const Refusal refusal;
        try {
            const GdalErrors errors;
            look_into(seen, told);
            // Of a file that is read in part a project would be drafted as if that were all.
            if (seen.trouble.empty() && errors.failures() > 0) {
                seen = {};
                seen.path = path;
                seen.trouble = "a file that cannot be read as a whole: " + printable(errors.text(), kMostLetters);
            }
        } catch (const Error& error) {
            seen.trouble = error.what();
        }
        if (i + 1 == kTries) {
            refusal.rethrow(path);
        }
    }
    for (const Finding& finding : told.list()) {
        findings.add(finding);
    }
    return seen;
}

}  // namespace eaveshed
