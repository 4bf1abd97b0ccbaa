// What the inputs of a project turned out to be, and the features of its layers: plain, so that what reads it works as
// well on inputs from memory. Opening files is the business of opening/open_inputs.hpp.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/crs/crs.hpp"
#include "eaveshed/fieldbook/call_table.hpp"
#include "eaveshed/fieldbook/override_table.hpp"
#include "eaveshed/settings/table.hpp"
#include "eaveshed/source/climate_info.hpp"
#include "eaveshed/source/feature_source.hpp"
#include "eaveshed/source/raster_info.hpp"
#include "eaveshed/terrain/terrain_metric.hpp"

namespace eaveshed {

struct Layer {
    VectorInfo info;
    std::shared_ptr<FeatureSource> source;  // null once it is closed
    std::size_t item = 0;                   // of a repeated section: which of its tables names it

    // From the first feature on; see FeatureSource::begin. To ask a closed layer is a broken invariant.
    [[nodiscard]] FeatureSource& features(const std::vector<std::string>& fields) const;
};

// By the setting that names each, such as "roads.source" (settings/input_role.hpp). What was not given or could not be
// opened is absent.
struct Inputs {
    std::map<std::string, std::vector<Layer>, std::less<>> layers;
    std::map<std::string, RasterInfo, std::less<>> rasters;
    std::optional<RainInfo> rain;
    std::map<std::string, MonthField, std::less<>> months;  // over the footprints' extent
    std::optional<GaugeTableInfo> temperature_gauges;       // in place of fields of temperature
    std::optional<OverrideTable> overrides;                 // read whole: it is short
    std::optional<CallTable> calls;                         // likewise
    std::optional<Layer> former_roofs;                      // layers of the earlier screening
    std::optional<Layer> former_parcels;                    // opened where some row names a parcel
    Crs output_crs;

    // Null, or nothing, where there is none.
    [[nodiscard]] const Layer* layer(std::string_view setting) const;
    [[nodiscard]] const std::vector<Layer>& layers_of(std::string_view setting) const;
    [[nodiscard]] const RasterInfo* raster(std::string_view setting) const;
    [[nodiscard]] const MonthField* month_field(std::string_view setting) const;
    // Of rain or of temperatures, by the section; null where grids tell them or nothing does.
    [[nodiscard]] const GaugeTableInfo* gauges(std::string_view section) const;
    [[nodiscard]] bool has(const Setting& input) const;
    // What every run has.
    [[nodiscard]] const Layer& footprints() const;
    [[nodiscard]] const RasterInfo& terrain() const;

    // After the last feature was read: what files and libraries hold of layers is let go.
    void close_layers();
};

// Where an input lies: one for each of its layers or rasters. None of what has no place of its own, such as a table.
struct InputPlace {
    std::string where;
    std::vector<std::string> files;
    Crs crs;
    Box extent;
    std::size_t item = 0;
};
[[nodiscard]] std::vector<InputPlace> places_of(const Setting& input, const Inputs& inputs);

// The measure of a CRS, and of the terrain's.
[[nodiscard]] TerrainMetric metric_of(const Crs& crs);
[[nodiscard]] TerrainMetric terrain_metric(const Inputs& inputs);

}  // namespace eaveshed
