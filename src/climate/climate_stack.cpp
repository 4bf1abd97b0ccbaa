#include "eaveshed/climate/climate_stack.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/format.h>
#include <gdal_priv.h>

#include "eaveshed/blocks/tiff_blocks.hpp"
#include "eaveshed/climate/netcdf_view.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/files/paths.hpp"
#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/settings/input_role.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

// CF leaves the figure of the Earth open.
Crs climate_crs(GDALDataset& dataset, const std::string& where, Findings& findings) {
    const Crs stated = crs_from_handle(dataset.GetSpatialRef());
    if (!stated.given() && has_degrees(dataset)) {
        findings.note({where, "degrees of longitude and latitude without a datum; WGS 84 is taken", "", ""});
        return crs_from_text("EPSG:4326", where);
    }
    return crs_of(dataset, where);
}

// Adds one file's bands to the stack, a step at a time.
class FileReader {
public:
    FileReader(ClimateStack& stack, const StackWish& wish, Findings& findings)
        : m_stack(stack), m_wish(wish), m_findings(findings) {}

    void add(const std::string& path) {
        m_where = setting_and_path(m_wish.setting, path);
        StackFile file;
        file.path = path;
        file.open_name = path;
        DatasetHandle dataset = open_raster(m_wish.setting, path, climate_drivers());
        if (dataset->GetRasterCount() == 0 && dataset->GetMetadata("SUBDATASETS") != nullptr) {
            dataset = choose_variable(*dataset, m_wish.standard_names, m_where, file.open_name, m_findings);
        }
        if (dataset == nullptr || dataset->GetRasterCount() == 0) {
            throw input_error(m_where, "no band", "gridded values", "look what is in the file: gdalinfo FILE");
        }
        m_netcdf = dataset->GetDriverName() == std::string("netCDF");
        file.layout = layout_of_climate(*dataset);
        file.pixel_interleaved = interleave(*dataset) == "PIXEL";
        const Crs crs = climate_crs(*dataset, m_where, m_findings);
        const std::string time = time_dimension(*dataset, m_where);
        const std::vector<double> middles = look_at_axes(*dataset, path, time);
        const auto units = time_units(*dataset, time);
        add_bands(*dataset, file, time, units, middles);
        place(file, crs);
        report_cut_blocks(m_where, path, "a run stops where it needs them", m_findings);
        m_stack.files.push_back(std::move(file));
    }

private:
    static std::string interleave(GDALDataset& dataset) {
        const char* const text = dataset.GetMetadataItem("INTERLEAVE", "IMAGE_STRUCTURE");
        return text != nullptr ? text : "";
    }

    [[noreturn]] void refuse_uneven() const {
        throw input_error(m_where, "rows or columns that are not evenly spaced, or two-dimensional coordinates",
                          "a regular grid", "bring it to one first: cdo remapbil,GRID IN OUT.nc, or gdalwarp -geoloc");
    }

    RasterLayout layout_of_climate(GDALDataset& dataset) const {
        std::array<double, 6> transform{};
        if (m_netcdf && dataset.GetGeoTransform(transform.data()) != CE_None) {
            refuse_uneven();
        }
        return layout_of(dataset, m_where);
    }

    std::vector<double> look_at_axes(GDALDataset& dataset, const std::string& path, const std::string& time) const {
        if (!m_netcdf) {
            return {};
        }
        const std::string variable = metadata_text(*dataset.GetRasterBand(1), "NETCDF_VARNAME");
        NetcdfAxes axes = netcdf_axes(m_where, path, variable, time);
        constexpr double kMostUneven = 0.02;  // cells: what single precision does to coordinates is far less
        if (axes.unevenness > kMostUneven) {
            refuse_uneven();
        }
        const bool all = axes.step_middles.size() == static_cast<std::size_t>(dataset.GetRasterCount());
        return all ? axes.step_middles : std::vector<double>{};
    }

    // Takes the file's calendar over; none when the time axis says nothing that can be used.
    std::optional<TimeUnits> time_units(GDALDataset& dataset, const std::string& time) {
        const std::string calendar = time.empty() ? "" : metadata_text(dataset, time + "#calendar");
        if (!calendar.empty()) {
            take_calendar(calendar);
        }
        const std::string units = time.empty() ? "" : metadata_text(dataset, time + "#units");
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
                   const std::optional<TimeUnits>& units, const std::vector<double>& middles) {
        for (int number = 1; number <= dataset.GetRasterCount(); ++number) {
            GDALRasterBand& band = *dataset.GetRasterBand(number);
            file.rules.push_back(BandRule::of(band, m_where));
            m_stack.units.insert(unit_of(dataset, band));
            StackBand entry{.file = m_stack.files.size(), .band = number, .date = {}, .month = {}};
            const std::string description = band.GetDescription();
            entry.date = date_from_text(description, m_stack.calendar.calendar);
            entry.month = month_by_name(description);
            if (!entry.date && units) {
                const auto index = static_cast<std::size_t>(number - 1);
                const std::string value = metadata_text(band, "NETCDF_DIM_" + time);
                entry.date = !middles.empty() ? units->date(middles[index])
                                              : (value.empty() ? std::nullopt : units->date(CPLAtof(value.c_str())));
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
    static std::optional<int> month_by_name(const std::string& text) {
        constexpr const char* kMonths = "janfebmaraprmayjunjulaugsepoctnovdec";
        const std::string start = lower_case(text).substr(0, 3);
        const std::size_t at = start.size() == 3 ? std::string_view(kMonths).find(start) : std::string_view::npos;
        const bool whole = at != std::string_view::npos && at % 3 == 0;
        return whole ? std::optional<int>{static_cast<int>(at / 3) + 1} : std::nullopt;
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
    bool m_netcdf = false;
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
    const std::vector<std::string> files = expand_paths(wish.setting, paths);
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
    const std::string date =
        entry.date ? fmt::format(" ({:04}-{:02}-{:02})", entry.date->year, entry.date->month, entry.date->day) : "";
    return fmt::format("{}, band {}{}", setting_and_path(stack.setting, stack.files[entry.file].path), entry.band,
                       date);
}

}  // namespace eaveshed
