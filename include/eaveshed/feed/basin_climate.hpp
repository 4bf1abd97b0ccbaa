// The climate of the whole basin, and of one tile where the basin's rain is too large for memory.
#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <list>
#include <map>
#include <memory>
#include <span>
#include <vector>

#include "eaveshed/opening/open_inputs.hpp"
#include "eaveshed/plan/plan.hpp"
#include "eaveshed/site/tile_input.hpp"
#include "eaveshed/store/series_file.hpp"

namespace eaveshed {

// What a rain record may take in memory, as it is read (cells x steps x 8 bytes), where nobody says otherwise.
inline constexpr std::uint64_t kMostRainBytes = 256ULL << 20;
// What a tile loader keeps at hand of the series that it read from a file: those of two hundred cells of 30 years.
inline constexpr std::size_t kRainKeptBytes = 16U << 20;

// The rain of a basin that is not in memory: depths as they were read, all steps.
struct RainFile {
    std::shared_ptr<const SeriesFile> series;
    std::vector<std::uint32_t> kept_days;  // of a record of days: to which a series is cut; empty for others
    std::size_t most_kept_bytes = kRainKeptBytes;
};

struct BasinClimate {
    ClimateInput input;
    RainFile rain;  // no series: the rain is in `input`

    [[nodiscard]] bool rain_in_file() const { return rain.series != nullptr; }
};

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

// Reads the rain of single tiles from the file. One per worker: it remembers what neighbouring tiles will ask for.
class TileRain {
public:
    // `basin`: its rain is in a file; outlives this.
    explicit TileRain(const BasinClimate& basin) : m_basin(basin) {}

    // The basin's rain with the series that sampling at the sites' roofs makes use of.
    [[nodiscard]] StepField around(const std::vector<TileSite>& sites);

    // How many series were read from the file so far.
    [[nodiscard]] std::size_t reads() const { return m_reads; }

private:
    struct Kept {
        Cell cell;
        std::vector<double> series;
    };

    // Condensed, valid until the next call.
    std::span<const double> series_of(Cell cell);
    std::vector<double> read(Cell cell);

    const BasinClimate& m_basin;
    std::list<Kept> m_kept;  // the last used in front
    std::map<Cell, std::list<Kept>::iterator> m_place;
    std::size_t m_reads = 0;
};

}  // namespace eaveshed
