#include "eaveshed/feed/kept_climate.hpp"

#include <string>
#include <utility>

#include "eaveshed/files/bytes.hpp"
#include "eaveshed/files/checked_file.hpp"
#include "eaveshed/rain/condense.hpp"

namespace eaveshed {

namespace {

namespace fs = std::filesystem;

constexpr const char* kClimateName = "climate.plan";

void put(ByteWriter& out, const std::vector<std::uint32_t>& numbers) {
    out.put(static_cast<std::uint64_t>(numbers.size()));
    for (const std::uint32_t number : numbers) {
        out.put(number);
    }
}

std::vector<std::uint32_t> numbers_in(ByteReader& in) {
    const auto count = in.get<std::uint64_t>();
    std::vector<std::uint32_t> numbers;
    for (std::uint64_t i = 0; i < count; ++i) {  // each takes bytes: a count that is wrong ends at the file's end
        numbers.push_back(in.get<std::uint32_t>());
    }
    return numbers;
}

// Members in one order for both directions.
void visit_box(auto& box, auto&& visit) {
    visit(box.x_min);
    visit(box.y_min);
    visit(box.x_max);
    visit(box.y_max);
}

void visit_grid(auto& grid, auto&& visit) {
    visit(grid.x_min);
    visit(grid.y_max);
    visit(grid.cell_width);
    visit(grid.cell_height);
    visit(grid.cols);
    visit(grid.rows);
}

void visit_window(auto& window, auto&& visit) {
    visit(window.row_begin);
    visit(window.row_end);
    visit(window.col_begin);
    visit(window.col_end);
}

void put_mean_year(ByteWriter& out, const std::optional<MonthDepths>& depths_mm) {
    out.put(static_cast<std::uint8_t>(depths_mm.has_value()));
    for (const double depth_mm : depths_mm.value_or(MonthDepths{})) {
        out.put(depth_mm);
    }
}

std::optional<MonthDepths> mean_year_in(ByteReader& in) {
    const bool present = in.get<std::uint8_t>() != 0;
    MonthDepths depths_mm{};
    for (double& depth_mm : depths_mm) {
        in.get(depth_mm);
    }
    return present ? std::optional(depths_mm) : std::nullopt;
}

// The days that are kept; of months none.
std::vector<std::uint32_t> kept_days(const RainRecord& record) {
    const auto* const days = std::get_if<CondensedDays>(&record);
    return days != nullptr ? days->wet_steps : std::vector<std::uint32_t>{};
}

RainRecord record_from(const Timeline& timeline, const std::vector<std::uint32_t>& days, const Season& season) {
    if (timeline.kind != RainKind::daily) {
        return record_of_months(timeline);
    }
    std::vector<bool> wet(timeline.steps.size(), false);
    for (const std::uint32_t day : days) {
        wet.at(day) = true;
    }
    return condense_days(timeline, wet, season);
}

}  // namespace

void keep_climate(const BasinClimate& climate, const fs::path& folder) {
    ByteWriter out;
    const auto put_one = [&out](const auto& value) { out.put(value); };
    put_mean_year(out, climate.mean_year_mm);
    put(out, climate.stations_used);
    visit_box(climate.roofs_box, put_one);
    put(out, kept_days(*climate.record));
    if (const auto* const field = std::get_if<FieldInFile>(&climate.rain)) {
        visit_grid(field->grid, put_one);
        visit_window(field->series->window(), put_one);
        out.put(static_cast<std::uint64_t>(field->series->steps()));
    } else if (!climate.rain_stations) {
        internal_error("a climate to be kept whose rain lies in memory");
    }
    write_checked(folder / kClimateName, out.bytes());
}

ClimateFacts kept_climate_facts(const fs::path& folder) {
    const fs::path path = folder / kClimateName;
    const std::vector<unsigned char> bytes = read_checked(path);
    ByteReader in(bytes, path.native());
    ClimateFacts facts;
    facts.mean_year_mm = mean_year_in(in);
    facts.stations_used = numbers_in(in);
    return facts;
}

BasinClimate kept_climate(const Project& project, const OpenInputs& inputs, const fs::path& folder,
                          std::size_t most_kept_bytes) {
    const fs::path path = folder / kClimateName;
    const std::vector<unsigned char> bytes = read_checked(path);
    ByteReader in(bytes, path.native());
    const auto get_one = [&in](auto& value) { in.get(value); };
    BasinClimate basin;
    basin.mean_year_mm = mean_year_in(in);
    basin.stations_used = numbers_in(in);
    Box roofs_box;
    visit_box(roofs_box, get_one);
    const std::vector<std::uint32_t> days = numbers_in(in);
    basin.most_kept_bytes = most_kept_bytes;
    basin.record =
        std::make_shared<RainRecord>(record_from(inputs.rain->timeline, days, project.settings.season_months()));
    if (inputs.gauge_rain) {
        basin.rain_stations = std::make_shared<const StationNetwork>(
            network_of(*inputs.gauge_rain, inputs.footprints().info.crs, roofs_box));
        keep_station_series(*inputs.gauge_rain, basin);
    } else {
        visit_grid(basin.rain_grid, get_one);
        CellRange window;
        visit_window(window, get_one);
        const auto steps = in.get<std::uint64_t>();
        basin.rain =
            FieldInFile{basin.rain_grid, std::make_shared<SeriesFile>(SeriesFile::written(
                                             folder / kRainSeriesName, window, static_cast<std::size_t>(steps)))};
    }
    add_all_but_rain(inputs, roofs_box, basin);
    return basin;
}

}  // namespace eaveshed
