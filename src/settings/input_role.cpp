#include "eaveshed/settings/input_role.hpp"

#include <algorithm>
#include <array>
#include <tuple>
#include <variant>

#include <fmt/format.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/spelling.hpp"
#include "eaveshed/settings/table.hpp"

namespace eaveshed {

namespace {

constexpr std::array kVectorDrivers{"GPKG", "FlatGeobuf", "GeoJSON", "ESRI Shapefile", "CSV"};
constexpr std::array kTableDrivers{"GPKG", "FlatGeobuf", "GeoJSON", "ESRI Shapefile", "CSV", "XLSX"};
constexpr std::array kListDrivers{"XLSX", "CSV"};
constexpr std::array kRasterDrivers{"GTiff", "VRT", "AAIGrid", "HFA"};
constexpr std::array kClimateDrivers{"GTiff", "netCDF", "Zarr", "VRT", "AAIGrid"};

constexpr std::string_view kVectorWords =
    "GeoPackage, FlatGeobuf, GeoJSON, ESRI Shapefile, CSV with a WKT column (of points also with two columns such as x "
    "and y, or lon and lat)";
constexpr std::string_view kTableWords = "CSV, XLSX, GeoPackage, FlatGeobuf, GeoJSON, ESRI Shapefile";
constexpr std::string_view kListWords = "XLSX, CSV";
constexpr std::string_view kRasterWords =
    "GeoTIFF (also cloud-optimised), VRT of such files, Arc/Info ASCII grid, Erdas Imagine";
constexpr std::string_view kClimateWords =
    "netCDF and Zarr by the CF conventions, GeoTIFF (also cloud-optimised), VRT of such files, Arc/Info ASCII grid";
constexpr std::string_view kGaugeOrGridWords =
    "netCDF and Zarr by the CF conventions, GeoTIFF (also cloud-optimised), VRT of such files, Arc/Info ASCII grid; "
    "CSV for a table of gauges";
constexpr std::string_view kPlaceWords = "CSV, also with semicolons or tabs";

// By the values of InputKind.
constexpr std::array<InputFormats, 10> kFormats{{
    {"a layer", kVectorWords, kVectorDrivers},
    {"a table of measured values", kTableWords, kTableDrivers},
    {"the result of an earlier screening", "GeoPackage", kVectorDrivers},
    {"a call list", kListWords, kListDrivers},
    {"a raster", kRasterWords, kRasterDrivers},
    {"a rain record", kGaugeOrGridWords, kClimateDrivers},
    {"a table of places", kPlaceWords, {}},
    {"one raster or twelve", kClimateWords, kClimateDrivers},
    {"twelve monthly rasters", kClimateWords, kClimateDrivers},
    {"twelve monthly rasters, or a table of gauges", kGaugeOrGridWords, kClimateDrivers},
}};

const std::string& text_at(const Setting& setting, const Settings& settings, std::size_t item) {
    return std::get<Reach<std::string>>(setting.access).get(settings, item);
}

}  // namespace

std::string_view to_text(GeometryNeed need) {
    constexpr std::array<std::string_view, 6> kTexts{
        "polygons", "lines", "points", "lines or polygons", "polygons, lines or points", "rows"};
    return kTexts.at(static_cast<std::size_t>(need));
}

const InputFormats& formats_of(InputKind kind) {
    return kFormats.at(static_cast<std::size_t>(kind));
}

const std::vector<const Setting*>& input_settings() {
    static const std::vector<const Setting*> kInputs = [] {
        std::vector<const Setting*> inputs;
        for (const Setting& setting : settings_table()) {
            if (setting.role) {
                inputs.push_back(&setting);
            }
        }
        std::ranges::stable_sort(
            inputs, {}, [](const Setting* input) { return std::tuple(input->role->kind, input->role->overlap); });
        return inputs;
    }();
    return kInputs;
}

const Setting& input_setting(std::string_view name) {
    const auto& inputs = input_settings();
    const auto found = std::ranges::find_if(inputs, [&](const Setting* input) { return name_of(*input) == name; });
    if (found == inputs.end()) {
        internal_error("a question for an input that the table of settings does not have");
    }
    return **found;
}

std::string name_of(const Setting& setting) {
    return fmt::format("{}.{}", setting.section, setting.key);
}

std::string name_of(const Setting& setting, std::size_t item) {
    return find_section(setting.section)->repeated ? fmt::format("{}.{}.{}", setting.section, item + 1, setting.key)
                                                   : name_of(setting);
}

std::vector<std::string> paths_of(const Setting& setting, const Settings& settings, std::size_t item) {
    std::vector<std::string> paths;
    if (setting.kind == Kind::path) {
        paths = {text_at(setting, settings, item)};
    } else if (setting.kind == Kind::paths) {
        paths = std::get<Reach<std::vector<std::string>>>(setting.access).get(settings, item);
    }
    std::erase(paths, "");
    return paths;
}

bool names_gauge_table(std::string_view path) {
    constexpr std::array<std::string_view, 4> kEnds{".csv", ".tsv", ".tab", ".txt"};
    std::string end(path.substr(path.size() - std::min<std::size_t>(path.size(), kEnds.front().size())));
    std::ranges::transform(end, end.begin(), ascii_lower);
    return std::ranges::find(kEnds, end) != kEnds.end();
}

std::size_t items_of(const Setting& setting, const Settings& settings) {
    return item_count(*find_section(setting.section), settings);
}

bool is_given(const Setting& setting, const Settings& settings) {
    for (std::size_t item = 0; item < items_of(setting, settings); ++item) {
        if (!paths_of(setting, settings, item).empty()) {
            return true;
        }
    }
    return false;
}

std::string text_beside(const Setting& setting, std::string_view key, const Settings& settings, std::size_t item) {
    const Setting* const beside = find_setting(setting.section, key);
    return beside == nullptr ? std::string() : text_at(*beside, settings, item);
}

std::vector<std::string> fields_beside(const Setting& setting, const Settings& settings, std::size_t item) {
    std::vector<std::string> fields;
    for (const Setting& beside : settings_table()) {
        if (beside.section != setting.section) {
            continue;
        }
        if (names_field(beside)) {
            fields.push_back(named_field(beside, settings, item));
        } else if (beside.kind == Kind::fields) {
            const auto& more = std::get<Reach<std::vector<std::string>>>(beside.access).get(settings, item);
            fields.insert(fields.end(), more.begin(), more.end());
        }
    }
    return fields;
}

}  // namespace eaveshed
