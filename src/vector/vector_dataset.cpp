#include "eaveshed/vector/vector_dataset.hpp"

#include <algorithm>
#include <chrono>
#include <utility>

#include <fmt/format.h>
#include <gdal_priv.h>
#include <ogrsf_frmts.h>

#include "csv_look.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/files/paths.hpp"
#include "eaveshed/network/remote_file.hpp"
#include "eaveshed/outside/remote_names.hpp"
#include "eaveshed/settings/table.hpp"
#include "eaveshed/stop/stop.hpp"
#include "eaveshed/words/wording.hpp"
#include "point_columns.hpp"
#include "shapefile_look.hpp"

namespace eaveshed {

namespace {

// What an input may be written in, for messages.
struct Wanted {
    std::string_view formats;
    std::string_view convert;
};
constexpr Wanted kLayer{"a GeoPackage, FlatGeobuf, GeoJSON, shapefile, or CSV with a WKT column",
                        "convert it to a GeoPackage"};
constexpr Wanted kTable{"a GeoPackage, FlatGeobuf, GeoJSON or shapefile, or a table as CSV or XLSX",
                        "save it as CSV in UTF-8, or convert it to a GeoPackage"};
constexpr Wanted kList{"a call list as XLSX or CSV",
                       "open it in a spreadsheet program and save it as .xlsx, or as CSV in UTF-8"};

const Wanted& wanted_of(InputKind kind) {
    switch (kind) {
        case InputKind::call_list: return kList;
        case InputKind::measured_values: return kTable;
        default: return kLayer;
    }
}

bool ends_with(const std::string& text, std::string_view ending) {
    return text.size() >= ending.size() &&
           lower_case(std::string_view(text).substr(text.size() - ending.size())) == ending;
}

// The parts of a table that the library takes without a word.
void look_at_csv(const std::string& where, const std::string& path, GDALDataset& dataset, Findings& findings) {
    OGRLayer* const layer = dataset.GetLayerCount() > 0 ? dataset.GetLayer(0) : nullptr;
    if (layer == nullptr) {
        return;
    }
    OGRFeatureDefn& definition = *layer->GetLayerDefn();
    const auto columns =
        static_cast<std::size_t>(definition.GetFieldCount()) + static_cast<std::size_t>(definition.GetGeomFieldCount());
    look_at_rows(where, path, columns, findings);
}

[[noreturn]] void report_unopened(const std::string& where, const std::string& path, InputKind kind,
                                  const std::string& said) {
    const Wanted& wanted = wanted_of(kind);
    std::string driver = GdalSession::start().driver_that_matches(path);
    if (driver.empty() && is_sqlite(path)) {
        driver = "SQLite, without the tables of a GeoPackage";
    }
    const bool allowed = std::ranges::find(formats_of(kind).drivers, driver) != formats_of(kind).drivers.end();
    if (allowed) {
        throw input_error(where, fmt::format("a damaged or incomplete {} file: {}", driver, printable(said, 500)),
                          std::string(wanted.formats), "restore it from a backup or make it again");
    }
    throw input_error(
        where,
        driver.empty() ? "a file of a format that nothing recognises" : fmt::format("a file of the format {}", driver),
        std::string(wanted.formats), std::string(wanted.convert));
}

// A spreadsheet is a packed folder, and the library holds all of it: what it unpacks to is asked before it is opened.
void require_spreadsheet_of_sense(const std::string& where, const std::string& path) {
    constexpr std::uint64_t kMiB = 1U << 20U;
    constexpr int kMostParts = 10'000;
    const GdalErrors quiet;
    if (!ends_with(path, ".xlsx")) {
        return;
    }
    const std::string folder = "/vsizip/{" + path + "}/";
    std::uint64_t bytes = 0;
    int parts = 0;
    const std::unique_ptr<VSIDIR, void (*)(VSIDIR*)> opened(VSIOpenDir(folder.c_str(), -1, nullptr), VSICloseDir);
    while (opened != nullptr) {
        const VSIDIREntry* const part = VSIGetNextDirEntry(opened.get());
        if (part == nullptr) {
            return;
        }
        bytes += part->bSizeKnown != 0 ? part->nSize : 0;
        if (bytes > VectorDataset::kLargestSpreadsheet || ++parts > kMostParts) {
            throw input_error(where,
                              fmt::format("a spreadsheet that unpacks to more than {} MiB",
                                          VectorDataset::kLargestSpreadsheet / kMiB),
                              "a call list", "keep the list alone in the file, or save it as CSV");
        }
    }
}

OGRwkbGeometryType flat_type(OGRLayer& layer) {
    return wkbFlatten(layer.GetGeomType());
}

bool fits_surely(OGRwkbGeometryType type, GeometryNeed need) {
    switch (need) {
        case GeometryNeed::polygon:
            return type == wkbPolygon || type == wkbMultiPolygon || type == wkbCurvePolygon || type == wkbMultiSurface;
        case GeometryNeed::line:
            return type == wkbLineString || type == wkbMultiLineString || type == wkbCircularString ||
                   type == wkbCompoundCurve || type == wkbMultiCurve;
        case GeometryNeed::point: return type == wkbPoint || type == wkbMultiPoint;
        case GeometryNeed::line_or_polygon:
            return fits_surely(type, GeometryNeed::line) || fits_surely(type, GeometryNeed::polygon);
        case GeometryNeed::shape:
            return fits_surely(type, GeometryNeed::line_or_polygon) || fits_surely(type, GeometryNeed::point);
        case GeometryNeed::any: return true;
    }
    return false;
}

bool may_fit(OGRwkbGeometryType type, GeometryNeed need) {
    return fits_surely(type, need) || type == wkbUnknown || type == wkbGeometryCollection;
}

// Whether places of no extent will do.
bool takes_points(GeometryNeed need) {
    return need == GeometryNeed::point || need == GeometryNeed::shape;
}

std::string_view letters_of(std::string_view text) {
    const auto is_letter = [](char c) { return (c >= 'a' && c <= 'z') || c == '_'; };
    const auto* const end = std::ranges::find_if_not(text, is_letter);
    return text.substr(0, static_cast<std::size_t>(end - text.begin()));
}

// Null where the table of settings has no such input.
const InputRole* role_of(std::string_view setting) {
    const std::size_t dot = setting.rfind('.');
    const std::string_view key = dot == std::string_view::npos ? "source" : setting.substr(dot + 1);
    const Setting* const found = find_setting(letters_of(setting), key);
    return found != nullptr && found->role ? &*found->role : nullptr;
}

}  // namespace

std::vector<std::string> field_names(OGRLayer& layer) {
    const OGRFeatureDefn& definition = *layer.GetLayerDefn();
    std::vector<std::string> names;
    names.reserve(static_cast<std::size_t>(definition.GetFieldCount()));
    for (int i = 0; i < definition.GetFieldCount(); ++i) {
        names.emplace_back(definition.GetFieldDefn(i)->GetNameRef());
    }
    return names;
}

GeometryNeed geometry_need(std::string_view setting) {
    const InputRole* const role = role_of(setting);
    return role != nullptr ? role->geometry : GeometryNeed::any;
}

InputKind input_kind(std::string_view setting) {
    const InputRole* const role = role_of(setting);
    return role != nullptr ? role->kind : InputKind::layer;
}

CrsDuty crs_duty(std::string_view setting) {
    const InputRole* const role = role_of(setting);
    return role != nullptr ? role->crs : CrsDuty::as_footprints;
}

VectorDataset VectorDataset::open(const std::string& section, const std::string& path, Findings& findings) {
    GdalSession::start();
    const std::string setting = section.find('.') == std::string::npos ? section + ".source" : section;
    require_readable(setting, path, FileKind::vector);
    VectorDataset opened;
    opened.m_where = setting_and_path(setting, path);
    std::vector<const char*> options;
    if (is_sqlite(path)) {
        opened.m_sqlite.emplace(opened.m_where, path, findings);
        if (opened.m_sqlite->immutable()) {
            options.push_back("IMMUTABLE=YES");
        }
    } else if (is_shapefile_part(path)) {
        require_whole_shapefile(opened.m_where, path);
    } else if (ends_with(path, ".csv")) {
        require_no_utf16(opened.m_where, path);
        options = {"GEOM_POSSIBLE_NAMES=WKT,geometry,geom,the_geom,wkt_geom", "KEEP_GEOM_COLUMNS=NO"};
    }
    options.push_back(nullptr);
    const InputKind kind = input_kind(section);
    if (kind == InputKind::call_list || kind == InputKind::measured_values) {
        require_spreadsheet_of_sense(opened.m_where, path);
    }
    const auto& allowed = formats_of(kind).drivers;
    std::vector<const char*> drivers(allowed.begin(), allowed.end());
    drivers.push_back(nullptr);
    const GdalErrors errors;
    opened.m_dataset.reset(GDALDataset::Open(gdal_name(path).c_str(),
                                             GDAL_OF_VECTOR | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR, drivers.data(),
                                             options.data(), nullptr));
    throw_network_fault();
    if (opened.m_dataset == nullptr) {
        report_unopened(opened.m_where, path, kind, errors.text());
    }
    opened.m_driver = opened.m_dataset->GetDriverName();
    if (void* handle = opened.m_dataset->GetInternalHandle("SQLITE_HANDLE"); handle != nullptr) {
        auto* const database = static_cast<sqlite3*>(handle);
        opened.m_watch = std::make_unique<SqliteWatch>(database, kLongestStatement);
        opened.m_reads_only = std::make_unique<SqliteReadsOnly>(database, SqliteReadsOnly::Whose::library);
    }
    if (errors.failures() > 0) {
        throw input_error(opened.m_where, "errors on opening: " + printable(errors.text(), 500),
                          std::string(wanted_of(kind).formats), "restore it from a backup or make it again");
    }
    if (errors.warnings() > 0) {
        findings.warn({opened.m_where, printable(errors.text(), 500), "", ""});
    }
    if (opened.m_driver == "CSV") {
        look_at_csv(opened.m_where, path, *opened.m_dataset, findings);
    }
    return opened;
}

bool VectorDataset::is_view(const std::string& layer) const {
    return m_sqlite && m_sqlite->is_view(layer);
}

std::vector<std::string> VectorDataset::layer_names() const {
    std::vector<std::string> names;
    for (OGRLayer* layer : m_dataset->GetLayers()) {
        if (!is_view(layer->GetName())) {
            names.emplace_back(layer->GetName());
        }
    }
    return names;
}

OGRLayer* VectorDataset::named_layer(const std::string& named) {
    OGRLayer* match = nullptr;
    int matches = 0;
    for (OGRLayer* layer : m_dataset->GetLayers()) {
        if (layer->GetName() == named) {
            return layer;
        }
        if (lower_case(layer->GetName()) == lower_case(named)) {
            match = layer;
            ++matches;
        }
    }
    return matches == 1 ? match : nullptr;
}

std::string VectorDataset::layer_list() {
    const GdalErrors quiet;
    std::vector<std::string> items;
    for (OGRLayer* layer : m_dataset->GetLayers()) {
        const std::string name = printable(layer->GetName());
        if (is_view(layer->GetName())) {
            items.push_back(fmt::format("'{}' (a view, not read)", name));
            continue;
        }
        const GIntBig count = layer->GetFeatureCount(FALSE);
        items.push_back(fmt::format("'{}' ({}, {} features)", name, OGRGeometryTypeToName(flat_type(*layer)),
                                    count < 0 ? std::string("?") : std::to_string(count)));
    }
    return listed(items);
}

namespace {

// Where lines and polygons will do, lines are meant before polygons.
void prefer_lines(std::vector<OGRLayer*>& layers, GeometryNeed need) {
    const auto has_lines = [](OGRLayer* layer) { return fits_surely(flat_type(*layer), GeometryNeed::line); };
    if (need == GeometryNeed::line_or_polygon && std::any_of(layers.begin(), layers.end(), has_lines)) {
        std::erase_if(layers, [&](OGRLayer* layer) { return !has_lines(layer); });
    }
}

}  // namespace

bool VectorDataset::fits(OGRLayer& layer, GeometryNeed need) const {
    return need == GeometryNeed::any || may_fit(flat_type(layer), need) ||
           (takes_points(need) && m_driver == "CSV" && find_point_columns(field_names(layer)).has_value());
}

void VectorDataset::report_geometry(OGRLayer& layer, GeometryNeed need) {
    const bool table = m_driver == "CSV" && flat_type(layer) == wkbNone;
    throw input_error(fmt::format("{}, layer '{}'", m_where, printable(layer.GetName())),
                      table ? "a table without shapes; its columns are " + listed(field_names(layer))
                            : fmt::format("geometry of type {}", OGRGeometryTypeToName(flat_type(layer))),
                      std::string(to_text(need)) +
                          (table ? std::string(" in a column WKT") +
                                       (takes_points(need) ? ", or places in two columns: " + point_column_names() : "")
                                 : ""),
                      table ? "name the columns so" : "name another layer or file; there are " + layer_list());
}

OGRLayer& VectorDataset::choose(const std::string& named, GeometryNeed need, Findings& findings) {
    std::vector<std::string> names;
    std::vector<OGRLayer*> tables;
    std::vector<OGRLayer*> sure;
    std::vector<OGRLayer*> possible;
    restart_watch();
    for (OGRLayer* layer : m_dataset->GetLayers()) {
        names.emplace_back(layer->GetName());
        if (is_view(names.back())) {
            continue;
        }
        tables.push_back(layer);
        if (fits_surely(flat_type(*layer), need)) {
            sure.push_back(layer);
        } else if (may_fit(flat_type(*layer), need)) {
            possible.push_back(layer);
        }
    }
    prefer_lines(sure, need);
    if (names.empty()) {
        throw input_error(m_where, "a file without layers", fmt::format("a layer of {}", to_text(need)), "");
    }
    OGRLayer* chosen = nullptr;
    if (!named.empty()) {
        chosen = named_layer(named);
        if (chosen == nullptr) {
            throw input_error(m_where, fmt::format("no layer '{}'", printable(named)), "one of " + layer_list(),
                              did_you_mean(named, names, "name one of these"));
        }
    } else if (tables.size() == 1) {
        chosen = tables.front();
    } else if (!sure.empty() || !possible.empty()) {
        const std::vector<OGRLayer*>& fitting = sure.empty() ? possible : sure;
        chosen = fitting.size() == 1 ? fitting.front() : nullptr;
    }
    if (chosen == nullptr) {
        throw input_error(m_where, "the layers " + layer_list(), fmt::format("one layer of {}", to_text(need)),
                          "name the one that is meant with 'layer = \"...\"'");
    }
    if (is_view(chosen->GetName())) {
        auto* const database = static_cast<sqlite3*>(m_dataset->GetInternalHandle("SQLITE_HANDLE"));
        m_reads_only.reset();
        m_reads_only = std::make_unique<SqliteReadsOnly>(database, SqliteReadsOnly::Whose::view);
    }
    chosen->GetLayerDefn();  // runs a view's statement for the first time
    stop_if_requested();
    if (ran_out_of_time()) {
        throw input_error(fmt::format("{}, layer '{}'", m_where, printable(chosen->GetName())),
                          fmt::format("a view that gave no row within {} seconds", kLongestStatement.count()),
                          "a table", "save what the view shows as a table");
    }
    if (!fits(*chosen, need)) {
        report_geometry(*chosen, need);
    }
    if (named.empty() && tables.size() > 1) {
        findings.note({m_where,
                       fmt::format("{} layers, of which '{}' is the only one of {}", tables.size(),
                                   printable(chosen->GetName()), to_text(need)),
                       "", "it is taken; name another with 'layer = \"...\"'"});
    }
    return *chosen;
}

bool VectorDataset::has_point_columns(OGRLayer& layer, GeometryNeed need) const {
    return flat_type(layer) == wkbNone && takes_points(need) && fits(layer, need);
}

void VectorDataset::restart_watch() {
    if (m_watch) {
        m_watch->restart();
    }
}

bool VectorDataset::statement_failed() const {
    void* const handle = m_dataset->GetInternalHandle("SQLITE_HANDLE");
    return handle != nullptr && blames_statement(static_cast<sqlite3*>(handle));
}

std::string VectorDataset::database_said() const {
    return last_words(static_cast<sqlite3*>(m_dataset->GetInternalHandle("SQLITE_HANDLE")));
}

bool VectorDataset::ran_out_of_time() const {
    return m_watch && m_watch->expired();
}

}  // namespace eaveshed
