// The climate of the whole basin, read once.
#include "eaveshed/run/tile_loader.hpp"
#include "eaveshed/tile/climate.hpp"

namespace eaveshed::run {

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
    const io::Transform to_rain(inputs.footprints->crs, inputs.rain->crs, inputs.rain->where);
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

}  // namespace

ClimateInput read_climate(const Project& project, const Inputs& inputs, const Plan& plan, Findings& findings) {
    const Settings& settings = project.resolved;
    ClimateInput climate;
    climate.timeline = inputs.rain->timeline;
    climate.rain = io::read_rain(settings.rain, *inputs.rain, rain_box(inputs, plan), findings).field;
    if (climate.of_days()) {
        condense(climate, project.settings.season_months());
    }
    const io::Crs& crs = inputs.footprints->crs;
    const Box box = inputs.et0 || inputs.minimum_temperature ? basin_box(plan) : Box{};
    Findings seen_before;
    if (inputs.et0) {
        climate.et0 = io::read_et0(settings.evapotranspiration, crs, box, seen_before).field;
    }
    if (inputs.minimum_temperature) {
        const auto read = [&](const char* setting, const std::vector<std::string>& paths) {
            return io::read_temperature(setting, paths, crs, box, seen_before).field;
        };
        climate.minimum_temperature = read("temperature.minimum", settings.temperature.minimum);
        climate.maximum_temperature = read("temperature.maximum", settings.temperature.maximum);
    }
    return climate;
}

}  // namespace eaveshed::run
