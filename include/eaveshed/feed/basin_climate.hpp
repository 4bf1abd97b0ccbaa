// The climate of the whole basin, read once, and of one tile after another.
#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <variant>
#include <vector>

#include "eaveshed/core/step_field.hpp"
#include "eaveshed/feed/station_network.hpp"
#include "eaveshed/gauges/gauge_rain.hpp"
#include "eaveshed/opening/open_inputs.hpp"
#include "eaveshed/plan/plan.hpp"
#include "eaveshed/rain/mean_year.hpp"
#include "eaveshed/rain/record.hpp"
#include "eaveshed/site/climate.hpp"
#include "eaveshed/site/tile_input.hpp"
#include "eaveshed/store/kept_field.hpp"

namespace eaveshed {

// What a rain record may take in memory, as it is read (cells x steps x 8 bytes), where nobody says otherwise.
inline constexpr std::uint64_t kMostRainBytes = 256ULL << 20;
// What a tile loader keeps at hand of the series that it read from a file: those of two hundred cells of 30 years.
inline constexpr std::size_t kRainKeptBytes = 16U << 20;

// Depths as the basin's record has them, or, in a file, as they were recorded. Of gauges those that some roof draws on.
using BasinRain = std::variant<std::shared_ptr<const StepField>, FieldInFile, std::shared_ptr<const StationSeries>>;

// What is shared by all tiles. Cheap to copy.
struct BasinClimate {
    std::shared_ptr<const RainRecord> record;
    BasinRain rain;
    Grid rain_grid;
    std::shared_ptr<const Et0Basis> et0;
    std::shared_ptr<const StepField> minimum_c;    // months of the daily minimum temperature; null where not given
    std::size_t most_kept_bytes = kRainKeptBytes;  // of rain in a file
    std::optional<MonthDepths> mean_year_mm{};     // in the middle of the computed roofs' box; none without rain there
    std::shared_ptr<const StationNetwork> rain_stations{};  // null where grids tell the rain; so below
    std::shared_ptr<const StationNetwork> temperature_stations{};
    std::shared_ptr<const StationTemperatures> station_temperatures{};
    std::vector<std::uint32_t> stations_used{};  // gauges of rain that some roof draws on, ascending
    Box roofs_box{};                             // of the computed roofs' interior points, in the footprints' CRS
};

// The file of a folder into which rain of grids goes that memory has no room for.
inline constexpr const char* kRainSeriesName = "rain.series";

// The parts of a climate that the inputs give for a box of the footprints' CRS: all but rain.
void add_all_but_rain(const OpenInputs& inputs, const Box& roofs_box, BasinClimate& basin);

// The series of the gauges `basin.stations_used`, as `basin.record` has them.
void keep_station_series(const GaugeRain& rain, BasinClimate& basin);

// Where the rain goes: into memory up to so many bytes, beyond that into a file of the folder. No folder: always into
// memory.
struct ClimateOptions {
    std::uint64_t most_rain_bytes = kMostRainBytes;
    std::size_t most_kept_bytes = kRainKeptBytes;  // of that file's series, by each tile loader
    std::filesystem::path folder = {};
};

// The basin's climate, read once over the cells its roofs can draw on.
[[nodiscard]] BasinClimate read_climate(const Project& project, const OpenInputs& inputs, const Plan& plan,
                                        const ClimateOptions& options, Findings& findings);

// The rain of a mean year in the middle of the footprints' extent, before anything is planned: what a look at the
// inputs can tell of it. Reads the cells around that place only. None without rain there; faults of the rain are
// thrown.
[[nodiscard]] std::optional<MonthDepths> mean_year_in_middle(const Project& project, const OpenInputs& inputs,
                                                             Findings& findings);

// Gives tiles their rain. One per worker: it may remember what neighbouring tiles will ask for.
class TileRain {
public:
    TileRain() = default;
    TileRain(const TileRain&) = delete;
    TileRain& operator=(const TileRain&) = delete;
    virtual ~TileRain() = default;

    // At least the series that the sites' roofs make use of.
    [[nodiscard]] virtual RainOfPlaces around(const std::vector<TileSite>& sites) = 0;
};

[[nodiscard]] std::unique_ptr<TileRain> tile_rain(const BasinClimate& basin);

}  // namespace eaveshed
