#include "eaveshed/feed/basin_climate.hpp"

#include <span>
#include <utility>

#include "eaveshed/site/climate.hpp"

namespace eaveshed {

namespace {

// Box of all footprints, in their own CRS.
Box basin_box(const Plan& plan) {
    PlanReader reader(plan);
    Box box;
    for (std::uint32_t i = 0; i < plan.roofs.size(); ++i) {
        if (plan.roofs[i].status == Status::ok) {
            box.add(reader.footprint(i).interior);
        }
    }
    return box;
}

// The same in the rain's CRS. Longitudes stay as they are, so that a basin on both sides of the meridian at which a
// grid begins is no box round the Earth: the reader turns the grid to the box.
Box rain_box(const Inputs& inputs, const Plan& plan) {
    const Transform to_rain(inputs.footprints().info.crs, inputs.rain->crs, inputs.rain->where);
    PlanReader reader(plan);
    Box box;
    for (std::uint32_t i = 0; i < plan.roofs.size(); ++i) {
        if (plan.roofs[i].status != Status::ok) {
            continue;
        }
        if (const auto point = to_rain(reader.footprint(i).interior)) {
            box.add(*point);
        }
    }
    return box;
}

// Into `climate`, whose timeline is that of the record.
void read_rain(const Project& project, const OpenInputs& inputs, const Plan& plan, const SeriesRoom& room,
               BasinClimate& climate, Findings& findings) {
    RainData read = inputs.rain_source.value().read(rain_box(inputs, plan), findings, room);
    climate.input.rain = std::move(read.field);
    climate.rain.series = std::move(read.file);
    if (!climate.input.of_days()) {
        return;
    }
    const Season season = project.settings.season_months();
    if (!climate.rain_in_file()) {
        condense(climate.input, season);
        return;
    }
    WetDays days(climate.input.rain.steps);
    visit_series(climate.input.rain, climate.rain.series.get(),
                 [&days](std::span<const double> series) { days.add(series); });
    climate.rain.kept_days = condense(climate.input, days, season);
}

}  // namespace

BasinClimate read_climate(const Project& project, const OpenInputs& inputs, const Plan& plan,
                          const ClimateOptions& options, Findings& findings) {
    BasinClimate basin;
    ClimateInput& climate = basin.input;
    climate.timeline = inputs.rain->timeline;
    basin.rain.most_kept_bytes = options.most_kept_bytes;
    SeriesRoom room;
    if (!options.folder.empty()) {
        room = {options.most_rain_bytes, options.folder / "rain.series"};
    }
    read_rain(project, inputs, plan, room, basin, findings);
    const Crs& crs = inputs.footprints().info.crs;
    const Box box = inputs.month_sources.empty() ? Box{} : basin_box(plan);
    const auto read = [&](const char* setting) {
        const auto source = inputs.month_sources.find(setting);
        return source == inputs.month_sources.end() ? StepField{} : source->second.read(crs, box).field;
    };
    climate.et0 = read("evapotranspiration.source");
    climate.minimum_temperature = read("temperature.minimum");
    climate.maximum_temperature = read("temperature.maximum");
    return basin;
}

}  // namespace eaveshed
