// Filling, directions and accumulation beside those that other programs published, where the shared data folder is
// there. Attribution of the data stands in that folder.
#include <gdal_priv.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <memory>
#include <vector>

#include "eaveshed/flow/derived_streams.hpp"
#include "eaveshed/flow/fill.hpp"
#include "flow/ground.hpp"
#include "support/shared_data.hpp"

namespace eaveshed {
namespace {

struct CloseRaster {
    void operator()(GDALDataset* dataset) const { GDALClose(dataset); }
};

Surface<double> read_surface(const std::filesystem::path& path) {
    GDALAllRegister();
    const std::unique_ptr<GDALDataset, CloseRaster> file(GDALDataset::Open(path.c_str(), GDAL_OF_RASTER));
    std::array<double, 6> place{};
    file->GetGeoTransform(place.data());
    Surface<double> surface{{place[0], place[3], place[1], -place[5], file->GetRasterYSize(), file->GetRasterXSize()},
                            {}};
    surface.elev_m.resize(static_cast<std::size_t>(surface.grid.rows * surface.grid.cols));
    GDALRasterBand* const band = file->GetRasterBand(1);
    EXPECT_EQ(band->RasterIO(GF_Read, 0, 0, band->GetXSize(), band->GetYSize(), surface.elev_m.data(), band->GetXSize(),
                             band->GetYSize(), GDT_Float64, 0, 0, nullptr),
              CE_None);
    int has_missing = 0;
    const double missing = band->GetNoDataValue(&has_missing);
    if (has_missing != 0) {
        std::ranges::replace(surface.elev_m, missing, std::numeric_limits<double>::quiet_NaN());
    }
    return surface;
}

Surface<float> in_single_precision(const Surface<double>& surface) {
    return {surface.grid, std::pmr::vector<float>(surface.elev_m.begin(), surface.elev_m.end())};
}

bool on_rim(const Grid& grid, std::size_t cell) {
    const auto row = static_cast<std::int64_t>(cell) / grid.cols;
    const auto col = static_cast<std::int64_t>(cell) % grid.cols;
    return row == 0 || col == 0 || row + 1 == grid.rows || col + 1 == grid.cols;
}

// Its codes are 1 W, 2 NW, 3 N, 4 NE, 5 E, 6 SE, 7 S, 8 SW; cells on the rim drain off the grid.
FlowDirections published_ways(const Surface<double>& codes) {
    FlowDirections directions{codes.grid, sides_in_plane(codes.grid, 1.0), {}};
    for (std::size_t cell = 0; cell < codes.elev_m.size(); ++cell) {
        const auto code = static_cast<int>(codes.elev_m[cell]);
        const int way = (code + 3) % 8;
        const Cell to{static_cast<std::int64_t>(cell) / codes.grid.cols + kWays[static_cast<std::size_t>(way)].row,
                      static_cast<std::int64_t>(cell) % codes.grid.cols + kWays[static_cast<std::size_t>(way)].col};
        directions.ways.push_back(codes.grid.holds(to) ? static_cast<std::uint8_t>(way) : kFlowsOut);
    }
    return directions;
}

// flow_flowdem/filled.tif: Priority-Flood by another program.
TEST(PublishedFlow, OfQueenslandIsFilledAlike) {
    EAVESHED_SHARED_OR_SKIP(folder, "data/reference/flow_flowdem");
    Surface<float> surface = in_single_precision(read_surface(folder / "dem.tif"));
    const Filled filled = fill_depressions(surface);
    EXPECT_EQ(surface.elev_m, in_single_precision(read_surface(folder / "filled.tif")).elev_m);
    EXPECT_EQ(filled.raised_cells, 89);  // that folder's README
    EXPECT_EQ(filled.most_raised_m, 6.0);
}

// flow_flowdem/accum.tif from its own dirs.tif: cells upstream, the cell itself included.
TEST(PublishedFlow, OfQueenslandAccumulatesAlike) {
    EAVESHED_SHARED_OR_SKIP(folder, "data/reference/flow_flowdem");
    const Surface<double> wanted = read_surface(folder / "accum.tif");
    const Accumulation found = accumulate(published_ways(read_surface(folder / "dirs.tif")));
    for (std::size_t cell = 0; cell < wanted.elev_m.size(); ++cell) {
        ASSERT_EQ(static_cast<double>(found.cells[cell]), wanted.elev_m[cell]) << cell;
    }
    EXPECT_EQ(*std::ranges::max_element(found.cells), 9137U);
}

// What one cell's neighbours say of its way.
struct WayClues {
    std::uint8_t steepest = kFlowsOut;
    std::uint8_t lowest = kFlowsOut;
    bool tie = false;  // of the one or the other
};

WayClues clues_of(const Surface<double>& surface, std::size_t cell) {
    WayClues clues;
    double most = 0.0;
    double deepest = 0.0;
    bool slopes_tie = false;
    bool drops_tie = false;
    testing::visit_around(surface.grid, cell, [&](std::size_t near, std::size_t way) {
        const double drop = surface.elev_m[cell] - surface.elev_m[near];
        const double slope = drop / (kWays[way].diagonal() ? std::sqrt(2.0) : 1.0);
        if (slope > most) {
            most = slope;
            slopes_tie = false;
            clues.steepest = static_cast<std::uint8_t>(way);
        } else if (slope == most) {
            slopes_tie = true;
        }
        if (drop > deepest) {
            deepest = drop;
            drops_tie = false;
            clues.lowest = static_cast<std::uint8_t>(way);
        } else if (drop == deepest) {
            drops_tie = true;
        }
    });
    clues.tie = slopes_tie || drops_tie;
    return clues;
}

// dirs.tif leads each inner cell to the lowest neighbour of filled_eps.tif, whatever its distance, and each cell of the
// rim off the grid. Where the lowest neighbour is the steepest way too and nothing ties, the two agree.
TEST(PublishedFlow, OfQueenslandRunsAlikeWhereTheRulesAgree) {
    EAVESHED_SHARED_OR_SKIP(folder, "data/reference/flow_flowdem");
    Surface<double> surface = read_surface(folder / "filled_eps.tif");
    EXPECT_EQ(fill_depressions(surface).raised_cells, 0);
    const FlowDirections found = flow_directions(surface, sides_in_plane(surface.grid, 1.0));
    const FlowDirections published = published_ways(read_surface(folder / "dirs.tif"));
    int compared = 0;
    for (std::size_t cell = 0; cell < found.ways.size(); ++cell) {
        if (on_rim(surface.grid, cell)) {
            continue;
        }
        const WayClues clues = clues_of(surface, cell);
        EXPECT_TRUE(clues.tie || clues.lowest == published.ways[cell]) << cell;
        EXPECT_EQ(found.ways[cell], clues.steepest) << cell;
        if (!clues.tie && clues.steepest == clues.lowest) {
            ++compared;
            EXPECT_EQ(found.ways[cell], published.ways[cell]) << cell;
        }
    }
    EXPECT_GT(compared, 6000);
    // So the channels are much the same: along them most sums are within a tenth of those published.
    const Accumulation sums = accumulate(found);
    const Surface<double> wanted = read_surface(folder / "accum.tif");
    constexpr double kChannelCells = 500.0;
    int channel = 0;
    int alike = 0;
    for (std::size_t cell = 0; cell < found.ways.size(); ++cell) {
        if (wanted.elev_m[cell] >= kChannelCells && !on_rim(surface.grid, cell)) {
            ++channel;
            alike += std::fabs(sums.cells[cell] / wanted.elev_m[cell] - 1.0) <= 0.1 ? 1 : 0;
        }
    }
    EXPECT_GT(alike, 0.85 * channel);
}

// The same ground for a program that lets water pass across the four sides of a cell alone, holds gaps and the grid's
// edge for closed, and lets the lowest cell out: cells stand apart, between two of them lies the higher one's height,
// and all else is a wall.
Surface<double> with_four_sides(const Surface<double>& ground) {
    constexpr double kWallM = 1e6;
    const std::int64_t cols = ground.grid.cols;
    Surface<double> apart{testing::plain_grid(2 * ground.grid.rows + 1, 2 * cols + 1), {}};
    apart.elev_m.assign(static_cast<std::size_t>(apart.grid.rows * apart.grid.cols), kWallM);
    const auto at = [&](std::int64_t row, std::int64_t col) {
        const bool inside = row < ground.grid.rows && col < cols;
        return inside ? ground.elev_m[static_cast<std::size_t>(row * cols + col)] : testing::kGap;
    };
    const auto put = [&](std::int64_t row, std::int64_t col, double elev_m) {
        apart.elev_m[static_cast<std::size_t>(row * apart.grid.cols + col)] = std::isnan(elev_m) ? kWallM : elev_m;
    };
    const auto higher = [](double a, double b) { return std::isnan(a + b) ? kWallM : std::max(a, b); };
    Cell lowest;
    double lowest_m = kWallM;
    for (std::int64_t row = 0; row < ground.grid.rows; ++row) {
        for (std::int64_t col = 0; col < cols; ++col) {
            const double here_m = at(row, col);
            put(2 * row + 1, 2 * col + 1, here_m);
            put(2 * row + 1, 2 * col + 2, higher(here_m, at(row, col + 1)));
            put(2 * row + 2, 2 * col + 1, higher(here_m, at(row + 1, col)));
            if (here_m < lowest_m) {
                lowest = {row, col};
                lowest_m = here_m;
            }
        }
    }
    EXPECT_EQ(lowest.col + 1, cols);  // at the eastern edge
    put(2 * lowest.row + 1, 2 * cols, lowest_m);
    return apart;
}

// dem_hugo/hugo_site_filled.asc: another program's filling, with those rules (found by trying: they give all 16 cells
// that it raises; with eight sides and open gaps the site has no depression).
TEST(PublishedFlow, OfASiteInColoradoIsFilledAlikeByTheRulesOfItsProgram) {
    EAVESHED_SHARED_OR_SKIP(folder, "data/reference/dem_hugo");
    Surface<double> ground = read_surface(folder / "hugo_site.asc");
    const Surface<double> wanted = read_surface(folder / "hugo_site_filled.asc");
    Surface<double> apart = with_four_sides(ground);
    fill_depressions(apart);
    int raised = 0;
    for (std::int64_t cell = 0; cell < ground.grid.rows * ground.grid.cols; ++cell) {
        const auto at = static_cast<std::size_t>(cell);
        if (!std::isnan(ground.elev_m[at])) {
            const std::int64_t row = 2 * (cell / ground.grid.cols) + 1;
            const std::int64_t col = 2 * (cell % ground.grid.cols) + 1;
            EXPECT_EQ(apart.elev_m[static_cast<std::size_t>(row * apart.grid.cols + col)], wanted.elev_m[at]) << cell;
            raised += wanted.elev_m[at] > ground.elev_m[at] ? 1 : 0;
        }
    }
    EXPECT_EQ(raised, 16);
    EXPECT_EQ(fill_depressions(ground).raised_cells, 0);
}

}  // namespace
}  // namespace eaveshed
