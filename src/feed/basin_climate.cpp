#include "eaveshed/feed/basin_climate.hpp"

#include <functional>
#include <set>
#include <span>
#include <utility>

#include "eaveshed/core/spells.hpp"
#include "eaveshed/feed/rain_from_file.hpp"
#include "eaveshed/rain/condense.hpp"

namespace eaveshed {

namespace {

// Boxes of the computed roofs' interior points. Longitudes stay as they are, so that a basin on both sides of the
// meridian at which a grid begins is no box round the Earth: the reader turns the grid to the box.
struct BasinBoxes {
    Box own;      // in the footprints' CRS
    Box in_rain;  // in the rain's, where that is a grid
};

void visit_interiors(const Plan& plan, const std::function<void(Point)>& visit) {
    PlanReader reader(plan);
    for (std::uint32_t i = 0; i < plan.roofs.size(); ++i) {
        if (plan.roofs[i].status == Status::ok) {
            visit(reader.footprint(i).interior);
        }
    }
}

BasinBoxes basin_boxes(const Inputs& inputs, const Plan& plan) {
    std::optional<Transform> to_rain;
    if (!inputs.rain->gauges) {
        to_rain.emplace(inputs.footprints().info.crs, inputs.rain->crs, inputs.rain->where);
    }
    BasinBoxes boxes;
    visit_interiors(plan, [&](Point interior) {
        boxes.own.add(interior);
        if (const auto point = to_rain ? (*to_rain)(interior) : std::nullopt) {
            boxes.in_rain.add(*point);
        }
    });
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
    const Crs& crs = inputs.footprints().info.crs;
    const auto read = [&](const char* setting) { return inputs.month_sources.at(setting).read(crs, box).field; };
    if (inputs.month_sources.contains("evapotranspiration.source")) {
        return Et0Field{read("evapotranspiration.source")};
    }
    if (inputs.gauge_temperatures) {
        return TemperatureStations{};
    }
    if (inputs.month_sources.empty()) {
        return AssumedEt0{};
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
    explicit RainInMemory(RainOfPlaces rain) : m_rain(std::move(rain)) {}
    [[nodiscard]] RainOfPlaces around(const std::vector<TileSite>& /*sites*/) override { return m_rain; }

private:
    RainOfPlaces m_rain;
};

// The basin's rain over an area of the rain's CRS.
BasinClimate read_rain(const Project& project, const OpenInputs& inputs, const Box& area, const ClimateOptions& options,
                       Findings& findings) {
    SeriesRoom room;
    if (!options.folder.empty()) {
        room = {options.most_rain_bytes, options.folder / kRainSeriesName};
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

// The gauges that roofs draw on, in their orders: each order once.
using StationOrders = std::set<std::vector<std::uint32_t>>;

void add_order(const std::vector<StationUse>& uses, StationOrders& orders) {
    std::vector<std::uint32_t> order;
    order.reserve(uses.size());
    for (const StationUse& use : uses) {
        order.push_back(use.station);
    }
    orders.insert(std::move(order));
}

std::vector<std::uint32_t> stations_in(const StationOrders& orders) {
    std::set<std::uint32_t> stations;
    for (const auto& order : orders) {
        stations.insert(order.begin(), order.end());
    }
    return {stations.begin(), stations.end()};
}

// The record of days: a day is kept where some order of gauges has rain on it, or none of its gauges a value. Factors
// make no dry day wet.
RainRecord record_of_stations(const Timeline& timeline, const Season& season, const StationSeries& series,
                              const StationOrders& orders) {
    if (timeline.kind != RainKind::daily) {
        return record_of_months(timeline);
    }
    WetDays days(timeline.steps.size());
    for (const auto& order : orders) {
        std::vector<StationUse> uses;
        uses.reserve(order.size());
        for (const std::uint32_t station : order) {
            uses.push_back({.station = station});
        }
        days.add(nearest_values(series, uses));
    }
    return condense_days(timeline, days.wet(), season);
}

// The series of the gauges that some roof draws on, and the record that follows from them.
void keep_stations(const GaugeRain& rain, const Season& season, const StationOrders& orders, BasinClimate& basin) {
    basin.stations_used = stations_in(orders);
    StationSeries series;
    series.steps = rain.info.timeline.steps.size();
    series.values.resize(rain.depths_mm.size());
    for (const std::uint32_t station : basin.stations_used) {
        series.values[station] = rain.depths_mm[station];
    }
    basin.record = std::make_shared<RainRecord>(record_of_stations(rain.info.timeline, season, series, orders));
    keep_station_series(rain, basin);
}

// The rain of gauges for places of the footprints' CRS, which `visit` goes through; all lie in `area`.
BasinClimate read_gauges(const Project& project, const OpenInputs& inputs, const Box& area,
                         const std::function<void(const std::function<void(Point)>&)>& visit) {
    const GaugeRain& rain = inputs.gauge_rain.value();
    const Crs& footprints = inputs.footprints().info.crs;
    BasinClimate basin;
    basin.rain_stations = std::make_shared<const StationNetwork>(network_of(rain, footprints, area));
    StationOrders orders;
    const StationDoor door(footprints, *basin.rain_stations);
    if (basin.rain_stations->places.size() == 0) {
        orders.insert({0});
    } else {
        visit([&](Point place) { add_order(door(place), orders); });
    }
    keep_stations(rain, project.settings.season_months(), orders, basin);
    return basin;
}

std::optional<Point> middle_of(const Box& box) {
    return box.empty() ? std::nullopt : std::optional(box.middle());
}

// At a place in the footprints' CRS.
std::optional<MonthDepths> mean_year_at(const Inputs& inputs, const BasinClimate& basin,
                                        const std::optional<Point>& place) {
    TileSite site;
    ClimatePlace& climate_place = site.roofs.emplace_back().climate_place;
    if (place && basin.rain_stations) {
        climate_place.rain_stations = StationDoor(inputs.footprints().info.crs, *basin.rain_stations)(*place);
    } else if (place) {
        const GridDoor to_rain(inputs.footprints().info.crs, inputs.rain->crs, basin.rain_grid, inputs.rain->where);
        climate_place.rain = to_rain(*place);
    }
    const std::vector<TileSite> sites{site};
    const RoofClimate climate(basin.record, tile_rain(basin)->around(sites), std::make_shared<Et0Basis>());
    const auto series = climate.rain_at(site.roofs.front().climate_place);
    return series ? mean_year_mm(*basin.record, series->values) : std::nullopt;
}

// The rain of the computed roofs, and of the middle of their box.
BasinClimate read_basin_rain(const Project& project, const OpenInputs& inputs, const Plan& plan,
                             const BasinBoxes& boxes, const ClimateOptions& options, Findings& findings) {
    if (!inputs.gauge_rain) {
        return read_rain(project, inputs, boxes.in_rain, options, findings);
    }
    return read_gauges(project, inputs, boxes.own, [&](const std::function<void(Point)>& visit) {
        visit_interiors(plan, visit);
        if (const auto middle = middle_of(boxes.own)) {
            visit(*middle);
        }
    });
}

void add_temperature_stations(const OpenInputs& inputs, BasinClimate& basin) {
    if (!inputs.gauge_temperatures) {
        return;
    }
    const GaugeTemperatures& gauges = *inputs.gauge_temperatures;
    basin.temperature_stations =
        std::make_shared<const StationNetwork>(network_of(gauges.info, inputs.footprints().info.crs));
    basin.station_temperatures =
        std::make_shared<const StationTemperatures>(StationTemperatures{gauges.minimum_c, gauges.maximum_c});
}

}  // namespace

void keep_station_series(const GaugeRain& rain, BasinClimate& basin) {
    StationSeries series;
    series.steps = depth_count(*basin.record);
    series.values.resize(rain.depths_mm.size());
    for (const std::uint32_t station : basin.stations_used) {
        series.values.at(station) = depths_of(*basin.record, rain.depths_mm.at(station));
    }
    basin.rain = std::make_shared<const StationSeries>(std::move(series));
}

void add_all_but_rain(const OpenInputs& inputs, const Box& roofs_box, BasinClimate& basin) {
    basin.roofs_box = roofs_box;
    basin.et0 = std::make_shared<Et0Basis>(read_et0_basis(inputs, roofs_box));
    basin.minimum_c = read_minimum(inputs, basin.et0, roofs_box);
    add_temperature_stations(inputs, basin);
}

BasinClimate read_climate(const Project& project, const OpenInputs& inputs, const Plan& plan,
                          const ClimateOptions& options, Findings& findings) {
    const BasinBoxes boxes = basin_boxes(inputs, plan);
    BasinClimate basin = read_basin_rain(project, inputs, plan, boxes, options, findings);
    add_all_but_rain(inputs, boxes.own, basin);
    basin.mean_year_mm = mean_year_at(inputs, basin, middle_of(boxes.own));
    return basin;
}

std::optional<MonthDepths> mean_year_in_middle(const Project& project, const OpenInputs& inputs, Findings& findings) {
    const VectorInfo& footprints = inputs.footprints().info;
    const auto middle = middle_of(footprints.extent);
    if (!middle) {
        return std::nullopt;
    }
    Box area;
    if (inputs.gauge_rain) {
        area.add(*middle);
        const auto visit_middle = [&](const std::function<void(Point)>& visit) { visit(*middle); };
        return mean_year_at(inputs, read_gauges(project, inputs, area, visit_middle), middle);
    }
    // One stray footprint can draw the middle of all to where no rain is known.
    const Grid& grid = inputs.rain->grid;
    const auto place = GridDoor(footprints.crs, inputs.rain->crs, grid, inputs.rain->where)(*middle);
    if (!place || !grid.holds(*place)) {
        return std::nullopt;
    }
    area.add(*place);
    return mean_year_at(inputs, read_rain(project, inputs, area, {}, findings), middle);
}

std::unique_ptr<TileRain> tile_rain(const BasinClimate& basin) {
    if (const auto* const in_file = std::get_if<FieldInFile>(&basin.rain)) {
        return std::make_unique<RainFromFile>(basin.record, *in_file, basin.most_kept_bytes);
    }
    if (const auto* const stations = std::get_if<std::shared_ptr<const StationSeries>>(&basin.rain)) {
        return std::make_unique<RainInMemory>(*stations);
    }
    return std::make_unique<RainInMemory>(std::get<std::shared_ptr<const StepField>>(basin.rain));
}

}  // namespace eaveshed
