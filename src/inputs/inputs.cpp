#include "eaveshed/inputs/inputs.hpp"

#include "eaveshed/core/error.hpp"
#include "eaveshed/crs/turned_crs.hpp"

namespace eaveshed {

namespace {

// Null where the map has no such key.
template <typename Map>
const typename Map::mapped_type* find_in(const Map& map, std::string_view key) {
    const auto found = map.find(key);
    return found == map.end() ? nullptr : &found->second;
}

}  // namespace

FeatureSource& Layer::features(const std::vector<std::string>& fields) const {
    if (source == nullptr) {
        internal_error("a layer read after it was closed");
    }
    source->begin(fields);
    return *source;
}

const std::vector<Layer>& Inputs::layers_of(std::string_view setting) const {
    static const std::vector<Layer> kNoLayers;
    const auto* const found = find_in(layers, setting);
    return found != nullptr ? *found : kNoLayers;
}

const Layer* Inputs::layer(std::string_view setting) const {
    const std::vector<Layer>& found = layers_of(setting);
    return found.empty() ? nullptr : &found.front();
}

const RasterInfo* Inputs::raster(std::string_view setting) const {
    return find_in(rasters, setting);
}

const MonthField* Inputs::month_field(std::string_view setting) const {
    return find_in(months, setting);
}

const GaugeTableInfo* Inputs::gauges(std::string_view section) const {
    if (section == "temperature") {
        return temperature_gauges ? &*temperature_gauges : nullptr;
    }
    return rain && rain->gauges ? &*rain->gauges : nullptr;
}

bool Inputs::has(const Setting& input) const {
    const std::string name = name_of(input);
    switch (input.role->kind) {
        case InputKind::layer: return layer(name) != nullptr;
        case InputKind::measured_values: return overrides.has_value();
        case InputKind::earlier_result: return former_roofs.has_value();
        case InputKind::call_list: return calls.has_value();
        case InputKind::raster: return raster(name) != nullptr;
        case InputKind::rain: return rain.has_value();
        case InputKind::gauge_places: {
            const GaugeTableInfo* const table = gauges(input.section);
            return table != nullptr && !table->place_files.empty();
        }
        case InputKind::normals: return rain && rain->gauges && !rain->gauges->normals_files.empty();
        case InputKind::et0: return month_field(name) != nullptr;
        case InputKind::temperature: return month_field(name) != nullptr || temperature_gauges.has_value();
    }
    return false;
}

const Layer& Inputs::footprints() const {
    const Layer* const found = layer("footprints.source");
    if (found == nullptr) {
        internal_error("work on inputs without footprints");
    }
    return *found;
}

const RasterInfo& Inputs::terrain() const {
    const RasterInfo* const found = raster("terrain.elevation");
    if (found == nullptr) {
        internal_error("work on inputs without elevations");
    }
    return *found;
}

void Inputs::close_layers() {
    for (auto& [setting, opened] : layers) {
        for (Layer& one : opened) {
            one.source.reset();
        }
    }
    for (std::optional<Layer>* const former : {&former_roofs, &former_parcels}) {
        if (*former) {
            (*former)->source.reset();
        }
    }
}

namespace {

// The files of gauges, without a place to hold against the footprints: far gauges are told as such.
void add_gauge_files(const Setting& input, const Inputs& inputs, std::vector<InputPlace>& places) {
    const GaugeTableInfo* const table = inputs.gauges(input.section);
    if (table == nullptr) {
        return;
    }
    const auto add = [&](const std::string& where, const std::vector<std::string>& files) {
        if (!files.empty()) {
            places.push_back({where, files, Crs(), Box{}});
        }
    };
    switch (input.role->kind) {
        case InputKind::gauge_places: add(table->places_where, table->place_files); break;
        case InputKind::normals: add(name_of(input), table->normals_files); break;
        case InputKind::temperature:
            add(table->where, {input.key == "minimum" ? table->files.front() : table->files.back()});
            break;
        default: break;
    }
}

}  // namespace

std::vector<InputPlace> places_of(const Setting& input, const Inputs& inputs) {
    const std::string name = name_of(input);
    std::vector<InputPlace> places;
    for (const Layer& layer : inputs.layers_of(name)) {
        places.push_back({layer.info.where, {layer.info.file}, layer.info.crs, layer.info.extent, layer.item});
    }
    if (const RasterInfo* const raster = inputs.raster(name)) {
        places.push_back({raster->where, raster->files, raster->crs, raster->grid.extent()});
    }
    if (const MonthField* const field = inputs.month_field(name)) {
        places.push_back({field->where, field->files, field->crs, field->field.grid.extent()});
    }
    if (input.role->kind == InputKind::rain && inputs.rain) {
        const Box extent = inputs.rain->gauges ? Box{} : inputs.rain->grid.extent();
        places.push_back({inputs.rain->where, inputs.rain->files, inputs.rain->crs, extent});
    }
    add_gauge_files(input, inputs, places);
    return places;
}

TerrainMetric metric_of(const Crs& crs) {
    TerrainMetric metric;
    metric.geographic = crs.is_geographic();
    metric.metres_per_unit = metric.geographic ? 1.0 : crs.metres_per_unit();
    metric.ellipsoid = crs.ellipsoid();
    metric.turn_deg = turn_deg_of(crs);
    return metric;
}

TerrainMetric terrain_metric(const Inputs& inputs) {
    return metric_of(inputs.terrain().crs);
}

}  // namespace eaveshed
