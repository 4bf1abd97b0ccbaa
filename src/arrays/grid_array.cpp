#include "eaveshed/arrays/grid_array.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include <fmt/format.h>
#include <gdal_priv.h>

#include "array_file.hpp"
#include "eaveshed/arrays/array_axes.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/files/paths.hpp"
#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr const char* kRegrid =
    "bring it to even longitudes and latitudes first: cdo remapbil,GRID IN.nc OUT.nc, or gdalwarp -geoloc -t_srs "
    "EPSG:4326 NETCDF:IN.nc:VARIABLE OUT.tif";

using Array = std::shared_ptr<GDALMDArray>;

bool has_axis(const std::vector<ArrayAxis>& axes, AxisKind kind) {
    return std::any_of(axes.begin(), axes.end(), [kind](const ArrayAxis& axis) { return axis.kind == kind; });
}

// Variables of numbers over rows and columns, in the root and in groups below.
void collect(const GDALGroup& root, const GDALGroup& group, int depth, std::vector<Array>& regular,
             std::vector<Array>& curved) {
    constexpr std::size_t kMostVariables = 500;
    constexpr int kDeepest = 3;
    for (const std::string& name : group.GetMDArrayNames(nullptr)) {
        const Array array = group.OpenMDArray(name);
        if (array == nullptr || array->GetDimensions().size() < 2 || regular.size() + curved.size() > kMostVariables ||
            array->GetDataType().GetClass() != GEDTC_NUMERIC) {
            continue;
        }
        const std::vector<ArrayAxis> axes = axes_of(root, *array);
        const bool even = std::all_of(axes.begin(), axes.end(), [](const ArrayAxis& axis) {
            return (axis.kind != AxisKind::x && axis.kind != AxisKind::y) || axis.coordinates != nullptr;
        });
        if (has_axis(axes, AxisKind::x) && has_axis(axes, AxisKind::y) && even) {
            regular.push_back(array);
        } else if (!attribute_text(*array, "coordinates").empty()) {
            curved.push_back(array);
        }
    }
    if (depth < kDeepest) {
        for (const std::string& name : group.GetGroupNames(nullptr)) {
            if (const auto below = group.OpenGroup(name)) {
                collect(root, *below, depth + 1, regular, curved);
            }
        }
    }
}

std::string variable_text(const GDALMDArray& array) {
    const std::string standard = attribute_text(array, "standard_name");
    const std::string unit = attribute_text(array, "units");
    return array.GetName() +
           (standard.empty() && unit.empty()
                ? ""
                : fmt::format(" ({}{}{})", standard, standard.empty() || unit.empty() ? "" : ", ", unit));
}

// Finds the variable and what its dimensions are.
class ArrayOpener {
public:
    ArrayOpener(const std::string& path, const ArrayWish& wish, Findings& findings)
        : m_path(path), m_wish(wish), m_findings(findings) {}

    GridArray open() {
        GdalErrors errors;
        refuse_newer_store();
        const DatasetHandle file = open_array_file(m_path);
        m_root = file != nullptr ? file->GetRootGroup() : nullptr;
        if (m_root == nullptr) {
            report_damaged(errors.text());
        }
        m_array = choose(errors);
        errors.clear();  // of variables that nobody asks for
        m_axes = axes_of(*m_root, *m_array);
        m_result.place.path = m_path;
        m_result.place.variable = m_array->GetFullName();
        find_dimensions();
        find_grid();
        find_crs();
        find_values();
        find_times();
        if (errors.failures() > 0) {
            report_damaged(errors.text());
        }
        return std::move(m_result);
    }

private:
    [[noreturn]] void report_damaged(const std::string& said) const {
        throw input_error(m_wish.where,
                          fmt::format("a damaged or incomplete {}: {}", array_noun(m_path), printable(said, 500)),
                          "a file that can be read to its end", "restore it from a backup or get it again");
    }
    void refuse_newer_store() const {
        if (is_newer_zarr(m_path)) {
            throw input_error(m_wish.where, "a Zarr store of version 3", "version 2, which is what can be read here",
                              "write it again with zarr_format=2, or as netCDF");
        }
    }
    [[noreturn]] void refuse_grid(const std::string& found) const {
        throw input_error(m_wish.where, found, "a regular grid", kRegrid);
    }
    [[nodiscard]] std::string remedy(const char* key, const std::string& example, const std::string& otherwise) const {
        return m_wish.section.empty() ? otherwise
                                      : fmt::format("set {}.{} = \"{}\"", m_wish.section, key, printable(example));
    }

    [[nodiscard]] Array choose(const GdalErrors& errors) const {
        std::vector<Array> all;
        std::vector<Array> curved;
        collect(*m_root, *m_root, 0, all, curved);
        if (all.empty() && errors.failures() > 0) {
            report_damaged(errors.text());
        }
        if (all.empty() && !curved.empty()) {
            refuse_grid(fmt::format("two-dimensional coordinates of {}: {}", curved.front()->GetName(),
                                    printable(attribute_text(*curved.front(), "coordinates"))));
        }
        if (all.empty()) {
            throw input_error(
                m_wish.where, "no variable over rows and columns with coordinates of their own",
                "gridded values with longitudes and latitudes, or x and y, as the CF conventions have them",
                "look what is in it: gdalmdiminfo FILE");
        }
        std::vector<std::string> texts;
        std::vector<Array> fitting;
        for (const Array& array : all) {
            texts.push_back(variable_text(*array));
            const std::string standard = attribute_text(*array, "standard_name");
            const auto& wanted = m_wish.standard_names;
            const bool named = array->GetName() == m_wish.variable || array->GetFullName() == m_wish.variable;
            if (m_wish.variable.empty() ? std::find(wanted.begin(), wanted.end(), standard) != wanted.end() : named) {
                fitting.push_back(array);
            }
        }
        if (!m_wish.variable.empty()) {
            if (fitting.empty()) {
                throw input_error(m_wish.where, fmt::format("no variable \"{}\"", printable(m_wish.variable)),
                                  fmt::format("one of {}", listed(texts)),
                                  remedy("variable", all.front()->GetName(), ""));
            }
            return fitting.front();
        }
        if (all.size() == 1) {
            return all.front();
        }
        if (fitting.size() != 1) {
            throw input_error(m_wish.where, fmt::format("several variables: {}", listed(texts)),
                              "one variable, or one with a standard name of the quantity",
                              remedy("variable", all.front()->GetName(),
                                     fmt::format("keep the one that is meant: cdo selname,{} IN.nc OUT.nc",
                                                 printable(all.front()->GetName()))));
        }
        m_findings.note({m_wish.where, fmt::format("several variables; {} is read", fitting.front()->GetName()), "",
                         "its standard name says what it is"});
        return fitting.front();
    }

    // "member=3, height=2" as pairs.
    [[nodiscard]] std::vector<std::pair<std::string, std::string>> selected() const {
        std::vector<std::pair<std::string, std::string>> pairs;
        std::string text = m_wish.select;
        std::erase(text, ' ');
        for (std::size_t at = 0; at < text.size();) {
            const std::size_t end = std::min(text.find(',', at), text.size());
            const std::string part = text.substr(at, end - at);
            const std::size_t equals = part.find('=');
            const std::string name = part.substr(0, equals);
            const bool known = std::any_of(m_axes.begin(), m_axes.end(), [&](const ArrayAxis& axis) {
                return axis.name == name && axis.kind == AxisKind::other;
            });
            if (equals == std::string::npos || !known) {
                throw input_error(m_wish.section + ".select", fmt::format("\"{}\"", printable(part)),
                                  fmt::format("DIMENSION=VALUE of a dimension besides rows, columns and time: {}",
                                              listed(other_axes())),
                                  "leave it out where the file has no such dimension");
            }
            pairs.emplace_back(name, part.substr(equals + 1));
            at = end + 1;
        }
        return pairs;
    }
    [[nodiscard]] std::vector<std::string> other_axes() const {
        std::vector<std::string> texts;
        for (const ArrayAxis& axis : m_axes) {
            if (axis.kind == AxisKind::other) {
                texts.push_back(axis_text(axis));
            }
        }
        return texts;
    }

    void find_dimensions() {
        ArrayPlace& place = m_result.place;
        const auto pairs = selected();
        std::vector<std::size_t> open;  // of several places and not chosen
        std::array<int, 2> rows_and_columns{};
        for (std::size_t i = 0; i < m_axes.size(); ++i) {
            const ArrayAxis& axis = m_axes[i];
            place.sizes.push_back(axis.size);
            place.at.push_back(0);
            const auto choice =
                std::find_if(pairs.begin(), pairs.end(), [&](const auto& pair) { return pair.first == axis.name; });
            if (axis.kind == AxisKind::x) {
                place.x = i;
                ++rows_and_columns[0];
            } else if (axis.kind == AxisKind::y) {
                place.y = i;
                ++rows_and_columns[1];
            } else if (axis.kind == AxisKind::time && !place.step) {
                place.step = i;
            } else if (choice != pairs.end()) {
                place.at[i] = index_of(axis, choice->second);
            } else if (axis.size > 1) {
                open.push_back(i);
            }
        }
        if (!place.step && open.size() == 1) {  // twelve months without dates
            place.step = open.front();
            open.clear();
        }
        refuse_open(open);
        if (rows_and_columns[0] != 1 || rows_and_columns[1] != 1) {
            refuse_grid("several dimensions of longitudes or latitudes");
        }
        m_result.steps = place.step ? m_axes[*place.step].size : 1;
    }
    [[nodiscard]] std::uint64_t index_of(const ArrayAxis& axis, const std::string& value) const {
        const auto index = index_on(axis, value);
        if (!index) {
            throw input_error(m_wish.section + ".select", fmt::format("{}={}", printable(axis.name), printable(value)),
                              fmt::format("a coordinate of {}", axis_text(axis)), "correct the value");
        }
        return *index;
    }
    void refuse_open(const std::vector<std::size_t>& open) const {
        if (open.empty()) {
            return;
        }
        std::vector<std::string> texts;
        std::string example;
        for (const std::size_t i : open) {
            texts.push_back(axis_text(m_axes[i]));
            const std::string first = axis_text(m_axes[i]);
            const std::size_t colon = first.find(": ");
            const std::string value = colon == std::string::npos
                                          ? "1"
                                          : first.substr(colon + 2, first.find_first_of(",)", colon) - colon - 2);
            example += (example.empty() ? "" : ", ") + m_axes[i].name + "=" + value;
        }
        throw input_error(m_wish.where,
                          fmt::format("{} beside time, rows and columns: {}",
                                      open.size() == 1 ? "a dimension" : "dimensions", listed(texts)),
                          "one value for each cell and step",
                          remedy("select", example, "choose one first: cdo sellevidx,1 IN.nc OUT.nc, or ncks -d") +
                              (m_wish.section.empty() ? "" : " or another of its values"));
    }

    void find_grid() {
        ArrayPlace& place = m_result.place;
        const ArrayAxis& x = m_axes[place.x];
        const ArrayAxis& y = m_axes[place.y];
        if (x.rotated || y.rotated) {
            refuse_grid("a grid about a rotated pole");
        }
        const auto columns = even_axis(*m_root, x, x.degrees);
        const auto rows = even_axis(*m_root, y, false);
        for (const auto& [axis, even] : {std::pair(&x, &columns), std::pair(&y, &rows)}) {
            if (!*even) {
                throw input_error(
                    m_wish.where,
                    fmt::format("{} without two readable coordinates, or bounds of the only one", axis_text(*axis)),
                    "rows and columns whose width can be told", "get a window of more cells");
            }
            constexpr double kMostUneven = 0.02;  // cells: what single precision does to coordinates is far less
            if ((*even)->unevenness > kMostUneven) {
                refuse_grid(fmt::format("{} that are not evenly spaced: {}", axis == &x ? "columns" : "rows",
                                        axis_text(*axis)));
            }
        }
        place.x_down = columns->first_edge > columns->last_edge;
        place.y_up = rows->first_edge < rows->last_edge;
        m_result.grid = {.x_min = std::min(columns->first_edge, columns->last_edge),
                         .y_max = std::max(rows->first_edge, rows->last_edge),
                         .cell_width = std::abs(columns->last_edge - columns->first_edge) / static_cast<double>(x.size),
                         .cell_height = std::abs(rows->last_edge - rows->first_edge) / static_cast<double>(y.size),
                         .rows = static_cast<std::int64_t>(y.size),
                         .cols = static_cast<std::int64_t>(x.size)};
        constexpr double kTurn = 360.0;
        if (x.degrees && m_result.grid.x_min + m_result.grid.x_max() > kTurn) {
            m_result.grid.x_min -= kTurn;  // PROJ gives longitudes from -180 to 180
        }
        constexpr double kPole = 90.0;
        if (y.degrees && (m_result.grid.y_max > kPole + m_result.grid.cell_height ||
                          m_result.grid.y_min() < -kPole - m_result.grid.cell_height)) {
            refuse_grid(fmt::format("latitudes from {} to {}", m_result.grid.y_min(), m_result.grid.y_max));
        }
    }

    // Of the variable, else of the mapping that it names, else degrees. CF leaves the figure of the Earth open.
    void find_crs() {
        m_result.crs = crs_from_handle(m_array->GetSpatialRef().get());
        const std::string mapping = attribute_text(*m_array, "grid_mapping");
        const auto described = mapping.empty() ? nullptr : array_near(*m_root, *m_array, mapping);
        if (!m_result.crs.given() && described != nullptr) {
            for (const char* const key : {"crs_wkt", "spatial_ref"}) {
                const std::string wkt = attribute_text(*described, key);
                if (!m_result.crs.given() && !wkt.empty()) {
                    m_result.crs = crs_from_text(wkt, m_wish.where);
                }
            }
        }
        const ArrayAxis& x = m_axes[m_result.place.x];
        const ArrayAxis& y = m_axes[m_result.place.y];
        if (m_result.crs.given()) {
            scale_kilometres(x, y);
            return;
        }
        if (!x.degrees || !y.degrees) {
            throw input_error(m_wish.where, "no coordinate reference system",
                              "degrees of longitude and latitude, or a grid mapping that says where the cells lie",
                              "give the coordinates their units (degrees_east, degrees_north), or convert it: "
                              "gdal_translate -a_srs EPSG:... NETCDF:IN.nc:VARIABLE OUT.tif");
        }
        m_findings.note({m_wish.where, "degrees of longitude and latitude without a datum; WGS 84 is taken", "", ""});
        m_result.crs = wgs84();
    }
    // Coordinates in km beside a reference system in metres.
    void scale_kilometres(const ArrayAxis& x, const ArrayAxis& y) {
        constexpr double kPerKilometre = 1000.0;
        const auto in_km = [](const ArrayAxis& axis) {
            const std::string unit = lower_case(attribute_text(*axis.coordinates, "units"));
            return unit == "km" || unit == "kilometre" || unit == "kilometer" || unit == "kilometers";
        };
        if (m_result.crs.is_geographic() || m_result.crs.metres_per_unit() != 1.0 || !in_km(x) || !in_km(y)) {
            return;
        }
        Grid& grid = m_result.grid;
        for (double* const value : {&grid.x_min, &grid.y_max, &grid.cell_width, &grid.cell_height}) {
            *value *= kPerKilometre;
        }
    }

    void find_values() {
        BandRule& rule = m_result.rule;
        const GDALDataType type = m_array->GetDataType().GetNumericDataType();
        rule.storage = type == GDT_Float32   ? BandRule::Storage::float32
                       : type == GDT_Float64 ? BandRule::Storage::float64
                                             : BandRule::Storage::integer;
        bool given = false;
        const double nodata = m_array->GetNoDataValueAsDouble(&given);
        rule.nodata = given ? std::optional<double>{nodata} : std::nullopt;
        rule.nodata_too = attribute_number(*m_array, "missing_value");
        rule.scale = m_array->GetScale();
        rule.offset = m_array->GetOffset();
        if (rule.scale == 0.0 || !std::isfinite(rule.scale) || !std::isfinite(rule.offset)) {
            throw input_error(
                m_wish.where, fmt::format("a scale_factor of {} and add_offset of {}", rule.scale, rule.offset),
                "a finite scale other than 0", "correct them: ncatted -a scale_factor,VARIABLE,o,d,1 FILE");
        }
        m_result.least = attribute_number(*m_array, "valid_min").value_or(m_result.least);
        m_result.most = attribute_number(*m_array, "valid_max").value_or(m_result.most);
        if (const auto range = m_array->GetAttribute("valid_range");
            range != nullptr && range->GetTotalElementsCount() == 2) {
            const std::vector<double> ends = range->ReadAsDoubleArray();
            m_result.least = ends[0];
            m_result.most = ends[1];
        }
        m_result.unit = attribute_text(*m_array, "units");
        m_result.words = m_array->GetName() + " " + attribute_text(*m_array, "standard_name") + " " +
                         attribute_text(*m_array, "long_name");
        judge_store(m_path, *m_array, m_wish.where, rule, m_findings);
    }

    void find_times() {
        const Array times = m_result.place.step
                                ? m_axes[*m_result.place.step].coordinates
                                : array_near(*m_root, *m_array, "time");  // of the only step, beside the variable
        if (times == nullptr || times->GetDimensions().size() > 1) {
            return;
        }
        m_result.time_units = attribute_text(*times, "units");
        m_result.calendar = attribute_text(*times, "calendar");
        m_result.times = values_of(*times);
        m_result.step_bounds = bounds_of(*m_root, *times);
        if (m_result.step_bounds.size() != 2 * m_result.steps) {
            m_result.step_bounds.clear();
        }
        if (m_result.times.size() != m_result.steps) {
            m_result.times.clear();
        }
    }

    const std::string& m_path;
    const ArrayWish& m_wish;
    Findings& m_findings;
    std::shared_ptr<GDALGroup> m_root;
    Array m_array;
    std::vector<ArrayAxis> m_axes;
    GridArray m_result;
};

}  // namespace

GridArray open_array(const std::string& path, const ArrayWish& wish, Findings& findings) {
    GdalSession::start();
    return ArrayOpener(path, wish, findings).open();
}

}  // namespace eaveshed
