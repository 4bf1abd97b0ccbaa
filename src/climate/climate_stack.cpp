#include "eaveshed/climate/climate_stack.hpp"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <utility>

#include <fmt/format.h>
#include <gdal_priv.h>

#include "eaveshed/blocks/tiff_blocks.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/files/paths.hpp"
#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/settings/input_role.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

std::string metadata_text(GDALMajorObject& object, const std::string& key) {
    const char* const text = object.GetMetadataItem(key.c_str());
    return text != nullptr ? text : "";
}

// "{time,lev}" as names.
std::vector<std::string> names_in_braces(const std::string& text) {
    std::vector<std::string> names;
    std::string name;
    for (const char c : text + ' ') {
        if (c != '{' && c != '}' && c != ',' && c != ' ') {
            name += c;
        } else if (!name.empty()) {
            names.push_back(std::exchange(name, ""));
        }
    }
    return names;
}

// The one dimension besides rows and columns that has steps, in metadata that a GeoTIFF made from a netCDF file may
// have kept; empty when there is none.
std::string time_dimension(GDALDataset& dataset, const std::string& where) {
    std::string time;
    std::vector<std::string> several;
    for (const std::string& name : names_in_braces(metadata_text(dataset, "NETCDF_DIM_EXTRA"))) {
        const std::vector<std::string> size = names_in_braces(metadata_text(dataset, "NETCDF_DIM_" + name + "_DEF"));
        const bool single = !size.empty() && size.front() == "1";
        if (!single) {
            several.push_back(name);
        }
        const bool dated = lower_case(metadata_text(dataset, name + "#units")).find(" since ") != std::string::npos;
        time = !single || (time.empty() && dated) ? name : time;
    }
    if (several.size() > 1) {
        throw input_error(where, fmt::format("the dimensions {}", listed(several)),
                          "time as the only one besides rows and columns",
                          "choose one level or member first: ncks -d, or cdo select");
    }
    return time;
}

// Adds one file's bands to the stack, a step at a time.
class FileReader {
public:
    FileReader(ClimateStack& stack, const StackWish& wish, Findings& findings)
        : m_stack(stack), m_wish(wish), m_findings(findings) {}

    void add(const std::string& path) {
        m_where = setting_and_path(m_wish.setting, path);
        if (is_array_file(path)) {
            add_array(path);
        } else {
            add_raster(path);
        }
    }

private:
    // Axes, dates and places by the file's own coordinates.
    void add_array(const std::string& path) {
        const GridArray array = open_array(path,
                                           {.where = m_where,
                                            .section = m_wish.section,
                                            .standard_names = m_wish.standard_names,
                                            .variable = m_wish.variable,
                                            .select = m_wish.select},
                                           m_findings);
        StackFile file;
        file.path = path;
        file.array = array.place;
        file.words = array.words;
        file.layout.grid = array.grid;
        file.least = array.least;
        file.most = array.most;
        file.rules.assign(array.steps, array.rule);
        m_stack.units.insert(array.unit);
        if (!array.calendar.empty()) {
            take_calendar(array.calendar);
        }
        const auto units = time_units(array.time_units);
        for (std::size_t step = 0; step < array.steps; ++step) {
            StackBand band{.file = m_stack.files.size(),
                           .band = static_cast<int>(step) + 1,
                           .date = {},
                           .moment = {},
                           .month = {}};
            if (units && !array.step_bounds.empty()) {
                const auto from = units->moment(array.step_bounds[2 * step]);
                const auto to = units->moment(array.step_bounds[2 * step + 1]);
                band.moment = from && to ? std::optional<double>{0.5 * (*from + *to)} : std::nullopt;
            } else if (units && !array.times.empty()) {
                band.moment = units->moment(array.times[step]);
            }
            if (band.moment) {
                band.date = date_of_moment(m_stack.calendar.calendar, *band.moment);
            }
            m_stack.bands.push_back(band);
        }
        m_stack.bounded = m_stack.bounded && !array.step_bounds.empty();
        place(file, array.crs);
        m_stack.files.push_back(std::move(file));
    }

    void add_raster(const std::string& path) {
        StackFile file;
        file.path = path;
        DatasetHandle dataset = open_raster(m_wish.setting, path, climate_drivers());
        if (dataset->GetRasterCount() == 0) {
            throw input_error(m_where, "no band", "gridded values", "look what is in the file: gdalinfo FILE");
        }
        file.layout = layout_of(*dataset, m_where);
        file.pixel_interleaved = interleave(*dataset) == "PIXEL";
        const Crs crs = crs_of(*dataset, m_where);
        const std::string time = time_dimension(*dataset, m_where);
        const std::string calendar = time.empty() ? "" : metadata_text(*dataset, time + "#calendar");
        if (!calendar.empty()) {
            take_calendar(calendar);
        }
        add_bands(*dataset, file, time, time_units(time.empty() ? "" : metadata_text(*dataset, time + "#units")));
        m_stack.bounded = false;
        place(file, crs);
        report_cut_blocks(m_where, path, "a run stops where it needs them", m_findings);
        if (m_stack.files.empty()) {
            m_stack.opened = std::move(dataset);
        }
        m_stack.files.push_back(std::move(file));
    }

    static std::string interleave(GDALDataset& dataset) {
        const char* const text = dataset.GetMetadataItem("INTERLEAVE", "IMAGE_STRUCTURE");
        return text != nullptr ? text : "";
    }

    // None when the time axis says nothing that can be used.
    std::optional<TimeUnits> time_units(const std::string& units) {
        if (units.empty()) {
            return std::nullopt;
        }
        const auto known = TimeUnits::from_text(units, m_stack.calendar);
        if (!known) {
            m_stack.undated_because = fmt::format("a time axis in \"{}\"", printable(units));
        }
        return known;
    }

    void take_calendar(const std::string& text) {
        const auto named = named_calendar(text);
        if (!named) {
            throw input_error(m_where, fmt::format("the calendar \"{}\"", printable(text)),
                              "standard, noleap or 360_day, or another CF name for one of them",
                              "convert the dates first: cdo setcalendar,standard");
        }
        const auto wished = named_calendar(m_wish.calendar);
        if (wished && wished->calendar != named->calendar) {
            throw input_error(
                m_where,
                fmt::format("the calendar \"{}\" in the file and \"{}\" in the settings", text, m_wish.calendar),
                "one calendar", "leave rain.calendar out, or correct it");
        }
        if (!m_stack.files.empty() && named->calendar != m_stack.calendar.calendar) {
            throw input_error(m_where, fmt::format("the calendar \"{}\", other than the files before it", text),
                              "one calendar", "convert the dates of the odd files first");
        }
        m_stack.calendar = *named;
    }

    void add_bands(GDALDataset& dataset, StackFile& file, const std::string& time,
                   const std::optional<TimeUnits>& units) {
        for (int number = 1; number <= dataset.GetRasterCount(); ++number) {
            GDALRasterBand& band = *dataset.GetRasterBand(number);
            file.rules.push_back(BandRule::of(band, m_where));
            m_stack.units.insert(unit_of(dataset, band));
            StackBand entry{.file = m_stack.files.size(), .band = number, .date = {}, .moment = {}, .month = {}};
            const std::string description = band.GetDescription();
            entry.date = date_from_text(description, m_stack.calendar.calendar);
            entry.month = month_by_name(description);
            if (!entry.date && units) {
                const std::string value = metadata_text(band, "NETCDF_DIM_" + time);
                entry.moment = value.empty() ? std::nullopt : units->moment(CPLAtof(value.c_str()));
                entry.date = entry.moment
                                 ? std::optional<Date>{date_of_moment(m_stack.calendar.calendar, *entry.moment)}
                                 : std::nullopt;
            }
            m_stack.bands.push_back(entry);
        }
    }

    static std::string unit_of(GDALDataset& dataset, GDALRasterBand& band) {
        std::string text = band.GetUnitType();
        for (GDALMajorObject* const object :
             {static_cast<GDALMajorObject*>(&band), static_cast<GDALMajorObject*>(&dataset)}) {
            for (const char* const key : {"units", "unit"}) {
                text = text.empty() ? metadata_text(*object, key) : text;
            }
        }
        return text;
    }

    // "Jan", "january", "Jan 1981-2010".
    static std::optional<int> month_by_name(std::string_view text) {
        const auto* const end = std::find_if(text.begin(), text.end(),
                                             [](char c) { return std::isalpha(static_cast<unsigned char>(c)) == 0; });
        return month_named({text.begin(), end});
    }

    // All files lie on the first one's grid.
    void place(const StackFile& file, const Crs& crs) {
        if (m_stack.files.empty()) {
            m_stack.grid = file.layout.grid;
            m_stack.crs = crs;
            return;
        }
        const Grid& a = m_stack.grid;
        const Grid& b = file.layout.grid;
        constexpr double kOff = 0.01;  // cells
        const double off =
            std::max({std::abs(b.x_min - a.x_min) / a.cell_width, std::abs(b.y_max - a.y_max) / a.cell_height,
                      std::abs(b.x_max() - a.x_max()) / a.cell_width, std::abs(b.y_min() - a.y_min()) / a.cell_height});
        if (b.rows != a.rows || b.cols != a.cols || off > kOff || !crs.same_as(m_stack.crs)) {
            throw input_error(
                m_where, fmt::format("{} x {} cells from {}, {} in {}", b.rows, b.cols, b.x_min, b.y_max, crs.name()),
                fmt::format("the grid of {}: {} x {} cells from {}, {} in {}", m_stack.files.front().path, a.rows,
                            a.cols, a.x_min, a.y_max, m_stack.crs.name()),
                "warp the odd files to that grid first");
        }
    }

    ClimateStack& m_stack;
    const StackWish& m_wish;
    Findings& m_findings;
    std::string m_where;
};

}  // namespace

const std::vector<std::string>& climate_drivers() {
    const auto& allowed = formats_of(InputKind::rain).drivers;
    static const std::vector<std::string> drivers(allowed.begin(), allowed.end());
    return drivers;
}

ClimateStack open_stack(const StackWish& wish, const std::vector<std::string>& paths, Findings& findings) {
    GdalSession::start();
    ClimateStack stack;
    std::vector<std::string> files;
    for (const std::string& path : paths) {
        const std::vector<std::string> more =
            is_zarr_store(path) ? std::vector<std::string>{path} : expand_paths(wish.setting, {path});
        files.insert(files.end(), more.begin(), more.end());
    }
    if (files.empty()) {
        throw input_error(wish.setting, "no file", "at least one file", "name it");
    }
    stack.calendar = named_calendar(wish.calendar).value_or(NamedCalendar{});
    stack.setting = wish.setting;
    stack.where = setting_and_path(wish.setting, paths.front()) +
                  (files.size() > 1 ? fmt::format(" ({} files)", files.size()) : "");
    FileReader reader(stack, wish, findings);
    for (const std::string& file : files) {
        reader.add(file);
    }
    return stack;
}

std::string only_unit(const ClimateStack& stack) {
    if (stack.units.size() > 1) {
        throw input_error(stack.where,
                          fmt::format("bands in different units: {}",
                                      listed(std::vector<std::string>(stack.units.begin(), stack.units.end()))),
                          "one unit", "convert the odd bands first");
    }
    return stack.units.empty() ? std::string() : *stack.units.begin();
}

std::string band_text(const ClimateStack& stack, std::size_t band) {
    const StackBand& entry = stack.bands[band];
    const std::string date = entry.date ? " (" + to_text(*entry.date) + ")" : "";
    return fmt::format("{}, band {}{}", setting_and_path(stack.setting, stack.files[entry.file].path), entry.band,
                       date);
}

}  // namespace eaveshed
