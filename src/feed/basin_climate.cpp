#include "eaveshed/feed/basin_climate.hpp"

#include <span>
#include <utility>

#include "climate_door.hpp"
#include "eaveshed/core/spells.hpp"
#include "eaveshed/feed/rain_from_file.hpp"
#include "eaveshed/rain/condense.hpp"

namespace eaveshed {

namespace {

// Boxes of the computed roofs' interior points. Longitudes stay as they are, so that a basin on both sides of the
// meridian at which a grid begins is no box round the Earth: the reader turns the grid to the box.
struct BasinBoxes {
    Box own;      // in the footprints' CRS
    Box in_rain;  // in the rain's
};

BasinBoxes basin_boxes(const Inputs& inputs, const Plan& plan) {
    const Transform to_rain(inputs.footprints().info.crs, inputs.rain->crs, inputs.rain->where);
    PlanReader reader(plan);
    BasinBoxes boxes;
    for (std::uint32_t i = 0; i < plan.roofs.size(); ++i) {
        if (plan.roofs[i].status != Status::ok) {
            continue;
        }
        const Point interior = reader.footprint(i).interior;
        boxes.own.add(interior);
        if (const auto point = to_rain(interior)) {
            boxes.in_rain.add(*point);
        }
    }
    return boxes;
}

// The record of days as its spells. A field in memory keeps the days that may have been wet; one in a file all.
CondensedDays condensed(const Timeline& daily, const Season& season, KeptField& field) {
    WetDays days(daily.steps.size());
    visit_series(field, [&days](std::span<const double> series) { days.add(series); });
    CondensedDays condensed = condense_days(daily, days.wet(), season);
    if (auto* const in_memory = std::get_if<StepField>(&field)) {
        keep_days(*in_memory, condensed.wet_steps);
    }
    return condensed;
}

RainRecord record_of(const Timeline& timeline, const Season& season, KeptField& field) {
    if (timeline.kind == RainKind::daily) {
        return condensed(timeline, season, field);
    }
    return record_of_months(timeline);
}

struct ToBasinRain {
    BasinRain operator()(StepField&& field) const { return std::make_shared<StepField>(std::move(field)); }
    BasinRain operator()(FieldInFile&& field) const { return std::move(field); }
};

// An evapotranspiration raster stands before temperatures.
Et0Basis read_et0_basis(const OpenInputs& inputs, const Box& box) {
    if (inputs.month_sources.empty()) {
        return AssumedEt0{};
    }
    const Crs& crs = inputs.footprints().info.crs;
    const auto read = [&](const char* setting) { return inputs.month_sources.at(setting).read(crs, box).field; };
    if (inputs.month_sources.contains("evapotranspiration.source")) {
        return Et0Field{read("evapotranspiration.source")};
    }
    return TemperatureFields{read("temperature.minimum"), read("temperature.maximum")};
}

// The daily minimum temperature by month: what ET0 is made from has it already, beside an evapotranspiration raster it
// is read for itself.
std::shared_ptr<const StepField> read_minimum(const OpenInputs& inputs, const std::shared_ptr<const Et0Basis>& et0,
                                              const Box& box) {
    if (const auto* const fields = std::get_if<TemperatureFields>(et0.get())) {
        return {et0, &fields->minimum_c};
    }
    const auto source = inputs.month_sources.find("temperature.minimum");
    if (source == inputs.month_sources.end()) {
        return nullptr;
    }
    return std::make_shared<StepField>(source->second.read(inputs.footprints().info.crs, box).field);
}

// The whole of the basin's rain lies in memory.
class RainInMemory final : public TileRain {
public:
    explicit RainInMemory(std::shared_ptr<const StepField> rain) : m_rain(std::move(rain)) {}
    [[nodiscard]] std::shared_ptr<const SeriesField> around(const std::vector<TileSite>& /*sites*/) override {
        return m_rain;
    }

private:
    std::shared_ptr<const StepField> m_rain;
};

// The basin's rain over an area of the rain's CRS.
BasinClimate read_rain(const Project& project, const OpenInputs& inputs, const Box& area, const ClimateOptions& options,
                       Findings& findings) {
    SeriesRoom room;
    if (!options.folder.empty()) {
        room = {options.most_rain_bytes, options.folder / "rain.series"};
    }
    KeptField rain = inputs.rain_source.value().read(area, findings, room).field;
    BasinClimate basin;
    basin.record =
        std::make_shared<RainRecord>(record_of(inputs.rain->timeline, project.settings.season_months(), rain));
    basin.rain_grid = frame_of(rain).grid;
    basin.rain = std::visit(ToBasinRain{}, std::move(rain));
    basin.most_kept_bytes = options.most_kept_bytes;
    return basin;
}

std::optional<Point> middle_of(const Box& box) {
    return box.empty() ? std::nullopt
                       : std::optional(Point{(box.x_min + box.x_max) / 2.0, (box.y_min + box.y_max) / 2.0});
}

// At a place in the footprints' CRS.
std::optional<MonthDepths> mean_year_at(const Inputs& inputs, const BasinClimate& basin,
                                        const std::optional<Point>& place) {
    const ClimateDoor to_rain(inputs.footprints().info.crs, inputs.rain->crs, basin.rain_grid, inputs.rain->where);
    TileSite site;
    site.roofs.emplace_back().climate_place.rain = place ? to_rain(*place) : std::nullopt;
    const std::vector<TileSite> sites{site};
    const RoofClimate climate(basin.record, tile_rain(basin)->around(sites), std::make_shared<Et0Basis>());
    const auto series = climate.rain_at(site.roofs.front().climate_place);
    return series ? mean_year_mm(*basin.record, series->values) : std::nullopt;
}

}  // namespace

BasinClimate read_climate(const Project& project, const OpenInputs& inputs, const Plan& plan,
                          const ClimateOptions& options, Findings& findings) {
    const BasinBoxes boxes = basin_boxes(inputs, plan);
    BasinClimate basin = read_rain(project, inputs, boxes.in_rain, options, findings);
    basin.et0 = std::make_shared<Et0Basis>(read_et0_basis(inputs, boxes.own));
    basin.minimum_c = read_minimum(inputs, basin.et0, boxes.own);
    basin.mean_year_mm = mean_year_at(inputs, basin, middle_of(boxes.own));
    return basin;
}

std::optional<MonthDepths> mean_year_in_middle(const Project& project, const OpenInputs& inputs, Findings& findings) {
    const VectorInfo& footprints = inputs.footprints().info;
    const auto middle = middle_of(footprints.extent);
    const Transform to_rain(footprints.crs, inputs.rain->crs, inputs.rain->where);
    const auto place = middle ? to_rain(*middle) : std::nullopt;
    if (!place) {
        return std::nullopt;
    }
    Box area;
    area.add(*place);
    return mean_year_at(inputs, read_rain(project, inputs, area, {}, findings), middle);
}

std::unique_ptr<TileRain> tile_rain(const BasinClimate& basin) {
    if (const auto* const in_file = std::get_if<FieldInFile>(&basin.rain)) {
        return std::make_unique<RainFromFile>(basin.record, *in_file, basin.most_kept_bytes);
    }
    return std::make_unique<RainInMemory>(std::get<std::shared_ptr<const StepField>>(basin.rain));
}

}  // namespace eaveshed
