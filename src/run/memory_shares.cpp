#include "eaveshed/run/memory_shares.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "eaveshed/core/error.hpp"
#include "eaveshed/plan/plan.hpp"
#include "eaveshed/site/place.hpp"

namespace eaveshed {

namespace {

constexpr double kSmallestTileM = 125.0;
constexpr std::uint64_t kSmallestCache = 16 * kMiB;

// The cells of a raster over a rectangle, with so many that stand out over each edge. Degrees of longitude are shorter
// than this: more cells, counted at the latitude where they are half.
double cells_over(const RasterInfo& raster, double width_m, double height_m, double beyond) {
    const double unit = raster.crs.rough_metres_per_unit();
    const double narrower = raster.crs.is_geographic() ? 0.5 : 1.0;
    const double more = 2.0 * beyond;
    const double cols = std::min(width_m / (raster.grid.cell_width * unit * narrower) + more,
                                 static_cast<double>(raster.grid.cols) + more);
    const double rows =
        std::min(height_m / (raster.grid.cell_height * unit) + more, static_cast<double>(raster.grid.rows) + more);
    return cols * rows;
}

// As cells of double precision over the square of a tile, whose outer blocks stand out over its edges, bytes.
std::uint64_t raster_bytes(const RasterInfo& raster, double side_m) {
    return static_cast<std::uint64_t>(
        cells_over(raster, side_m, side_m, static_cast<double>(SparseRaster::kBlockSide)) * sizeof(double));
}

std::string mib(std::uint64_t bytes) {
    return fmt::format("{} MiB", (bytes + kMiB - 1) / kMiB);
}

}  // namespace

namespace {

// The program with its libraries and open inputs.
constexpr std::uint64_t kBase = 72 * kMiB;
constexpr std::uint64_t kBlocksInUse = 48 * kMiB;  // three rows of blocks over some kilometres

// What is kept of each.
struct KeptBytes {
    std::uint64_t footprint = 0;
    std::uint64_t parcel = 0;
};
// In memory that has to be: next to nothing, for lists and indexes beyond some MiB lie in files (files/spill_array.hpp,
// files/spill_memory.hpp).
constexpr KeptBytes kHeld{10, 10};
// With the pages of those files that the system keeps while there is room.
constexpr KeptBytes kResident{200, 180};

std::uint64_t kept_bytes(const Inputs& inputs, const KeptBytes& each) {
    const auto count = [&inputs](const char* setting) {
        const Layer* const layer = inputs.layer(setting);
        return layer != nullptr ? static_cast<std::uint64_t>(std::max<std::int64_t>(0, layer->info.feature_count)) : 0U;
    };
    return kBase + each.footprint * count("footprints.source") + each.parcel * count("parcels.source");
}

}  // namespace

std::uint64_t held_bytes(const Inputs& inputs) {
    return kept_bytes(inputs, kHeld);
}

std::uint64_t least_bytes(const Inputs& inputs, const Settings& settings) {
    return held_bytes(inputs) + tile_bytes(inputs, settings, kSmallestTileM) + 2 * kSmallestCache;
}

namespace {

// A tile with what may be looked at around it.
double side_with_reach_m(const Settings& settings, double tile_side_m) {
    const SitingSettings& siting = settings.siting;
    return tile_side_m +
           2.0 * (std::max(siting.max_fill_m, siting.max_feed_m) + tank_reach_m(settings) + widest_pad_m(settings));
}

// What of the blocks a row of tiles across a strip needs at once, those behind it that no row needs any more being let
// go. More would only be held for the strip beside it.
std::uint64_t strip_bytes(const Inputs& inputs, const Settings& settings, double tile_side_m) {
    constexpr double kWidest = 1.5;  // of what strips are meant to be: those of one basin are equally wide
    const double width_m = kWidest * strip_width_m(inputs, tile_side_m);
    const double height_m = side_with_reach_m(settings, tile_side_m);
    double bytes = 0.0;
    for (const auto& [setting, raster] : inputs.rasters) {
        bytes += cells_over(raster, width_m, height_m, 0.25 * static_cast<double>(raster.block_cols)) *
                 static_cast<double>(raster.cell_bytes);
    }
    constexpr double kMost = 1e15;
    return static_cast<std::uint64_t>(std::min(bytes, kMost));
}

}  // namespace

std::uint64_t tile_bytes(const Inputs& inputs, const Settings& settings, double tile_side_m) {
    constexpr std::uint64_t kSitesAndRows = 12 * kMiB;  // of a tile of a km2 full of houses
    const double side = side_with_reach_m(settings, tile_side_m);
    std::uint64_t bytes = kSitesAndRows;
    for (const auto& [setting, raster] : inputs.rasters) {
        bytes += raster_bytes(raster, side);
    }
    return bytes;
}

std::uint64_t expected_bytes(const Inputs& inputs, const Settings& settings) {
    return std::max(least_bytes(inputs, settings),
                    kept_bytes(inputs, kResident) + tile_bytes(inputs, settings, kTileSideM) + kBlocksInUse);
}

namespace {

// No retry would do: it is a matter of the words, not of what else the machine is doing.
void require_memory(std::uint64_t all, std::uint64_t least, const char* of_what, const char* way_out) {
    if (all < least) {
        throw input_error("--memory", mib(all), "at least " + mib(least) + of_what, way_out);
    }
}

}  // namespace

std::uint64_t gather_bytes(const Inputs& inputs) {
    return kept_bytes(inputs, kResident) + kBlocksInUse;
}

void require_memory_to_gather(std::size_t memory_mib, const Inputs& inputs) {
    require_memory(memory_mib * kMiB, held_bytes(inputs) + kBlocksInUse, " to gather this basin", "allow more");
}

MemoryShares share_memory(std::size_t memory_mib, std::uint64_t taken_bytes, unsigned threads, const Inputs& inputs,
                          const Settings& settings) {
    const std::uint64_t all = memory_mib * kMiB;
    require_memory(all, taken_bytes + least_bytes(inputs, settings), " for this basin and its elevations",
                   "allow more, or split the basin into parts");
    const std::uint64_t rest = all - taken_bytes - held_bytes(inputs);
    const std::uint64_t caches = std::max(2 * kSmallestCache, rest / 2);  // of blocks and of rain
    MemoryShares shares{.threads = threads, .tile_side_m = kTileSideM, .block_bytes = 0, .rain_bytes = 0};
    const auto fits = [&] {
        return shares.threads * tile_bytes(inputs, settings, shares.tile_side_m) <= rest - caches;
    };
    while (!fits() && shares.tile_side_m > kSmallestTileM) {
        shares.tile_side_m = std::max(kSmallestTileM, shares.tile_side_m / 2.0);
    }
    while (!fits() && shares.threads > 1) {
        --shares.threads;
    }
    shares.rain_bytes = caches / 2;
    shares.block_bytes =
        std::min<std::size_t>(caches - shares.rain_bytes, strip_bytes(inputs, settings, shares.tile_side_m));
    return shares;
}

namespace {

constexpr KeptBytes kOfPart{150, 170};  // all in memory

std::uint64_t bytes_of_part(const InputRows& kept) {
    return kBase + kOfPart.footprint * kept.roofs + kOfPart.parcel * kept.parcels;
}

}  // namespace

MemoryShares share_part_memory(std::size_t memory_mib, unsigned threads, const Inputs& inputs, const Settings& settings,
                               double tile_side_m, const InputRows& kept) {
    const std::uint64_t all = memory_mib * kMiB;
    const std::uint64_t tile = tile_bytes(inputs, settings, tile_side_m);
    require_memory(all, bytes_of_part(kept) + tile + 2 * kSmallestCache, " for this part and its elevations",
                   "allow more, or split into more parts with less memory each");
    const std::uint64_t rest = all - bytes_of_part(kept);
    MemoryShares shares{.threads = threads, .tile_side_m = tile_side_m, .block_bytes = 0, .rain_bytes = 0};
    while (shares.threads > 1 && shares.threads * tile + 2 * kSmallestCache > rest) {
        --shares.threads;
    }
    const std::uint64_t caches = rest - shares.threads * tile;
    shares.rain_bytes = caches / 2;
    shares.block_bytes =
        std::min<std::size_t>(caches - shares.rain_bytes, strip_bytes(inputs, settings, shares.tile_side_m));
    return shares;
}

std::uint64_t part_bytes(const Inputs& inputs, const Settings& settings, double tile_side_m, const InputRows& kept) {
    return bytes_of_part(kept) + tile_bytes(inputs, settings, tile_side_m) + kBlocksInUse;
}

double seconds_per_roof(const Inputs& inputs, const Settings& settings) {
    constexpr double kSecondsPerRoof = 2.0e-4;
    constexpr double kStepsPerSecond = 4e8;
    const auto steps = static_cast<double>(inputs.rain->timeline.steps.size());
    const auto options = static_cast<double>(rules_from(settings).options.size());
    return kSecondsPerRoof + steps * (1.0 + options / 8.0) / kStepsPerSecond;
}

}  // namespace eaveshed
