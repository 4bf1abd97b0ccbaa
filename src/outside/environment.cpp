#include "eaveshed/outside/environment.hpp"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <span>
#include <utility>

#include <cpl_conv.h>
#include <proj.h>
#include <unistd.h>

namespace eaveshed {

namespace {

constexpr std::array<KeptVariable, 2> kKept{{
    {"HOME", "where PROJ finds grids that its user installed; GDAL's settings there are not read"},
    {"TMPDIR", "where scratch files go"},
}};

// What GDAL, PROJ, GEOS, SQLite, libtiff, netCDF, HDF5, curl and the C library are known to read.
constexpr std::array<std::string_view, 34> kFamilies{
    "AAIGRID_", "AWS_",  "AZURE_",   "BLOSC_",   "CPL_", "CSV_",   "CURL_", "ESRI_", "FTP_PROXY",
    "GDAL_",    "GEOS_", "GEOTIFF_", "GOOGLE",   "GS_",  "GTIFF_", "HDF5_", "HTTP",  "LC_",
    "LANG",     "NC_",   "NETCDF_",  "NO_PROXY", "OGR_", "OSR_",   "OSS_",  "PROJ_", "SHAPE_",
    "SQLITE_",  "SSL_",  "SWIFT_",   "TIFF_",    "TZ",   "VRT_",   "VSI",
};

// Where the libraries' own tables are: see clear_environment().
constexpr std::array<std::string_view, 2> kProjFolders{"PROJ_DATA", "PROJ_LIB"};
constexpr std::array<std::string_view, 1> kGdalFolders{"GDAL_DATA"};

template <typename List>
bool among(const List& list, std::string_view name) {
    return std::ranges::find(list, name) != list.end();
}

bool is_known_to_libraries(std::string_view name) {
    std::string upper(name);
    std::ranges::transform(upper, upper.begin(),
                           [](char c) { return c >= 'a' && c <= 'z' ? static_cast<char>(c - 32) : c; });
    const auto begins = [&upper](std::string_view family) { return upper.starts_with(family); };
    return std::ranges::any_of(kFamilies, begins) || upper == "ALL_PROXY";
}

std::vector<std::string> all_names() {
    std::vector<std::string> names;
    for (char** entry = environ; entry != nullptr && *entry != nullptr; ++entry) {
        const std::string_view text = *entry;
        names.emplace_back(text.substr(0, text.find('=')));
    }
    return names;
}

void remove_variable(const std::string& name) {
    unsetenv(name.c_str());  // NOLINT(concurrency-mt-unsafe): see clear_environment()
}

using Values = std::vector<std::pair<std::string, std::string>>;

Values taken_away(std::span<const std::string_view> names) {
    Values values;
    for (const std::string_view view : names) {
        const std::string name(view);
        if (const char* const value = std::getenv(name.c_str()); value != nullptr) {  // NOLINT(concurrency-mt-unsafe)
            values.emplace_back(name, value);
            remove_variable(name);
        }
    }
    return values;
}

// Where the library finds its tables without them they are told as removed.
void settle_folders(const Values& taken, bool (*finds)(), std::vector<std::string>& told) {
    if (taken.empty()) {
        return;
    }
    const bool needed = !finds();
    for (const auto& [name, value] : taken) {
        if (needed) {
            setenv(name.c_str(), value.c_str(), 1);  // NOLINT(concurrency-mt-unsafe): as above
        } else {
            told.push_back(name);
        }
    }
}

bool proj_finds_its_tables() {
    PJ_CONTEXT* const context = proj_context_create();
    proj_log_level(context, PJ_LOG_NONE);
    const char* const path = proj_context_get_database_path(context);
    const bool found = path != nullptr && *path != '\0';
    proj_context_destroy(context);
    return found;
}

bool gdal_finds_its_tables() {
    const bool found = CPLFindFile("gdal", "gdalvrt.xsd") != nullptr;
    CPLFinderClean();
    return found;
}

std::vector<std::string>& removed() {
    static std::vector<std::string> names;
    return names;
}

}  // namespace

std::span<const KeptVariable> kept_variables() {
    return kKept;
}

std::vector<std::string> remove_library_variables() {
    std::vector<std::string> told;
    for (const std::string& name : all_names()) {
        if (is_known_to_libraries(name) && !among(kProjFolders, name) && !among(kGdalFolders, name)) {
            remove_variable(name);
            told.push_back(name);
        }
    }
    std::ranges::sort(told);
    return told;
}

void clear_environment() {
    const Values proj = taken_away(kProjFolders);
    const Values gdal = taken_away(kGdalFolders);
    std::vector<std::string>& told = removed();
    told = remove_library_variables();
    for (const std::string& name : all_names()) {
        const auto is_it = [&name](const KeptVariable& kept) { return kept.name == name; };
        if (std::ranges::none_of(kKept, is_it)) {
            remove_variable(name);
        }
    }
    settle_folders(proj, proj_finds_its_tables, told);
    settle_folders(gdal, gdal_finds_its_tables, told);
    std::ranges::sort(told);
}

const std::vector<std::string>& removed_variables() {
    return removed();
}

}  // namespace eaveshed
