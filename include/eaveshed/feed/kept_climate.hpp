// The climate of a basin kept in a folder, so that a part of the basin computes from the very record that the whole
// does: which days are kept, which gauges count and where fields begin follow from all roofs.
#pragma once

#include <cstddef>
#include <filesystem>

#include "eaveshed/feed/basin_climate.hpp"
#include "eaveshed/opening/open_inputs.hpp"

namespace eaveshed {

// Writes FOLDER/climate.plan. Rain of grids was read into the folder (ClimateOptions: no byte of it into memory).
void keep_climate(const BasinClimate& climate, const std::filesystem::path& folder);

// What the run record tells of a kept one.
struct ClimateFacts {
    std::optional<MonthDepths> mean_year_mm;   // rain in the middle of the basin
    std::vector<std::uint32_t> stations_used;  // gauges of rain that some roof draws on
};
[[nodiscard]] ClimateFacts kept_climate_facts(const std::filesystem::path& folder);

// `most_kept_bytes`: of rain, by each tile loader. Evapotranspiration and temperatures are read again from the inputs,
// over the same box. A file that is damaged is a working error.
[[nodiscard]] BasinClimate kept_climate(const Project& project, const OpenInputs& inputs,
                                        const std::filesystem::path& folder, std::size_t most_kept_bytes);

}  // namespace eaveshed
