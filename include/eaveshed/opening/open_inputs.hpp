// Every input of a project, opened once and checked against the others and the settings, before any work starts.
#pragma once

#include <cstddef>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>

#include "eaveshed/blocks/block_cache.hpp"
#include "eaveshed/climate/climate_source.hpp"
#include "eaveshed/core/finding.hpp"
#include "eaveshed/gauges/gauge_rain.hpp"
#include "eaveshed/gauges/gauge_temperature.hpp"
#include "eaveshed/inputs/inputs.hpp"
#include "eaveshed/project/project.hpp"
#include "eaveshed/raster/raster_source.hpp"

namespace eaveshed {

// What decoded blocks may take of memory before the tiles have their share.
inline constexpr std::size_t kLookedAtBytes = std::size_t{32} * 1024 * 1024;

// The inputs with what their cells are read from: nothing opens them a second time.
struct OpenInputs : Inputs {
    std::shared_ptr<BlockCache> blocks = std::make_shared<BlockCache>(kLookedAtBytes);  // of all rasters
    std::map<std::string, RasterSource, std::less<>> raster_sources;                    // handles are taken from them
    std::optional<RainSource> rain_source;
    std::map<std::string, MonthSource, std::less<>> month_sources;
    std::optional<GaugeRain> gauge_rain;
    std::optional<GaugeTemperatures> gauge_temperatures;

    // When no cell of a raster is read any more.
    void close_rasters() {
        raster_sources.clear();
        blocks.reset();
    }
    // After the basin's climate was read.
    void close_climate() {
        rain_source.reset();
        month_sources.clear();
        gauge_rain.reset();
        gauge_temperatures.reset();
    }
};

// Opens what is given, by the rows of the inputs; faults become errors among `findings`, all of them.
[[nodiscard]] OpenInputs open_inputs(const Project& project, Findings& findings);

}  // namespace eaveshed
