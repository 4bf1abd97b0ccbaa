// Every input of a project, opened and checked against the others and the settings, before any work starts.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "eaveshed/climate/climate_source.hpp"
#include "eaveshed/core/finding.hpp"
#include "eaveshed/fieldbook/override_table.hpp"
#include "eaveshed/project/project.hpp"
#include "eaveshed/raster/raster_source.hpp"
#include "eaveshed/siting/terrain_metric.hpp"
#include "eaveshed/vector/vector_source.hpp"

namespace eaveshed {

// What the inputs turned out to be. The parts that could not be opened are absent, each with an error among the
// findings.
struct Inputs {
    std::optional<VectorInfo> footprints;
    std::optional<VectorInfo> parcels;
    std::optional<VectorInfo> use_points;
    std::optional<VectorInfo> streams;
    std::vector<VectorInfo> exclusions;  // as the settings list them, when all could be opened
    std::optional<VectorInfo> roads;
    std::optional<OverrideTable> overrides;    // read whole: it is short
    std::optional<VectorInfo> former_roofs;    // layers of the earlier screening
    std::optional<VectorInfo> former_parcels;  // opened where some row names a parcel
    std::vector<VectorInfo> others;            // sub-basins: opened so that their faults show now
    std::optional<RasterInfo> terrain;
    std::optional<RasterInfo> surface;
    std::optional<RasterInfo> canopy;
    std::optional<RainInfo> rain;
    std::optional<MonthField> et0;
    std::optional<MonthField> minimum_temperature;
    std::optional<MonthField> maximum_temperature;
    Crs output_crs;
};

// The measure of the terrain's CRS.
[[nodiscard]] TerrainMetric terrain_metric(const Inputs& inputs);

// Opens everything; faults become errors among `findings`, all of them.
[[nodiscard]] Inputs open_inputs(const Project& project, Findings& findings);

}  // namespace eaveshed
