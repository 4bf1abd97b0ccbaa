// Every input of a project, opened and checked against the others and the settings, before any work starts.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/io/climate_source.hpp"
#include "eaveshed/io/override_table.hpp"
#include "eaveshed/io/raster_source.hpp"
#include "eaveshed/io/vector_source.hpp"
#include "eaveshed/run/project.hpp"

namespace eaveshed::run {

// What the inputs turned out to be. The parts that could not be opened are absent, each with an error among the
// findings.
struct Inputs {
    std::optional<io::VectorInfo> footprints;
    std::optional<io::VectorInfo> parcels;
    std::optional<io::VectorInfo> use_points;
    std::optional<io::VectorInfo> streams;
    std::vector<io::VectorInfo> exclusions;  // as the settings list them, when all could be opened
    std::optional<io::VectorInfo> roads;
    std::optional<io::OverrideTable> overrides;    // read whole: it is short
    std::optional<io::VectorInfo> former_roofs;    // layers of the earlier screening
    std::optional<io::VectorInfo> former_parcels;  // opened where some row names a parcel
    std::vector<io::VectorInfo> others;            // sub-basins: opened so that their faults show now
    std::optional<io::RasterInfo> terrain;
    std::optional<io::RasterInfo> surface;
    std::optional<io::RasterInfo> canopy;
    std::optional<io::RainInfo> rain;
    std::optional<io::MonthField> et0;
    std::optional<io::MonthField> minimum_temperature;
    std::optional<io::MonthField> maximum_temperature;
    io::Crs output_crs;
};

// Opens everything; faults become errors among `findings`, all of them.
[[nodiscard]] Inputs open_inputs(const Project& project, Findings& findings);

// Fields that the plan reads of each footprint and parcel, in this order; absent ones are empty names.
enum class FootprintField : std::uint8_t { id, material, storeys, eave_height, connected_share, parcel };
[[nodiscard]] std::vector<std::string> footprint_fields(const FootprintSettings& settings);
enum class ParcelField : std::uint8_t {
    id,
    people,
    irrigated_area,
    season_use,
    water_source,
    source_share,
    stream_distance,
    pump,
    existing_storage,
    owner_key,
    status
};
[[nodiscard]] std::vector<std::string> parcel_fields(const ParcelSettings& settings);

// The value of a field in a feature read with those fields.
template <typename Field>
[[nodiscard]] const std::optional<std::string>& value_of(const io::Feature& feature, Field field) {
    return feature.values.at(static_cast<std::size_t>(field));
}

}  // namespace eaveshed::run
