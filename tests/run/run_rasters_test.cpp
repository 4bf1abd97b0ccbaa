// Which blocks of the rasters a run decodes: each that some roof needs, once, and no other.
#include "eaveshed/feed/run_rasters.hpp"

#include <gtest/gtest.h>

#include <set>

#include "eaveshed/feed/planned_tiles.hpp"
#include "eaveshed/feed/tile_loader.hpp"
#include "eaveshed/site/place.hpp"
#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using testing::bytes_of;
using testing::TempFolder;

constexpr double kTileM = 200.0;
constexpr std::size_t kTiny = 1000;  // bytes: less than any block

// Elevations in 12 x 12 blocks of the size that a tile loads them in, roofs in a few of them.
class RunRastersTest : public ::testing::Test {
protected:
    void write(SmallBasin basin = {}) {
        basin.roofs.resize(9);  // the two southern rows, the second not whole
        basin.parcels_crs.clear();
        m_project = write_basin(m_folder, basin);
        write_blocks("dem.tif", basin.terrain_crs, ground_m);
    }
    void write_blocks(const std::string& name, const std::string& crs,
                      const std::function<double(Point place)>& height_m) {
        testing::RasterSpec spec =
            raster_over_basin(crs, 1.0, 0.0, 1, [&](int, Point place) { return height_m(place); });
        spec.type = GDT_Float32;
        spec.options = {"TILED=YES", "BLOCKXSIZE=128", "BLOCKYSIZE=128", "COMPRESS=DEFLATE", "PREDICTOR=3"};
        testing::write_raster(m_folder.file(name), spec);
    }
    ScreenResult run(unsigned threads, std::size_t cache_bytes = kBlockCacheBytes) const {
        return screened(
            m_project, m_folder.file("out.gpkg"),
            {.threads = threads, .tile_side_m = kTileM, .overwrite = true, .block_cache_bytes = cache_bytes});
    }
    // Counted by what the roofs ask for, roof by roof.
    std::size_t blocks_needed() const {
        Findings findings;
        Progress progress(ProgressStyle::none);
        const TempFolder work;
        const Project project = load_project(m_project, findings);
        const OpenInputs inputs = open_inputs(project, findings);
        const Plan plan = make_plan(project, inputs, Creeks(), work.path(), {}, findings, progress);
        const BasinClimate climate = read_climate(project, inputs, plan, {}, findings);
        const RunRasters rasters(inputs);
        TileLoader loader(project, inputs, plan, climate, rasters);
        std::set<std::pair<std::int64_t, std::int64_t>> blocks;
        for (const PlannedTile& planned : plan.tiles) {
            const TileInput tile = loader.load(planned);
            for (const TileSite& site : tile.sites) {
                for (const TileRoof& roof : site.roofs) {
                    for (const CellRange& range :
                         terrain_needed(roof, nullptr, tile.terrain.grid(), tile.metric, project.settings)) {
                        add_blocks(range, blocks);
                    }
                }
            }
        }
        return blocks.size();
    }
    static void add_blocks(const CellRange& range, std::set<std::pair<std::int64_t, std::int64_t>>& blocks) {
        for (std::int64_t row = range.row_begin; row < range.row_end; ++row) {
            for (std::int64_t col = range.col_begin; col < range.col_end; ++col) {
                blocks.insert({row / 128, col / 128});
            }
        }
    }
    TempFolder m_folder;
    std::string m_project;
};

TEST_F(RunRastersTest, EveryNeededBlockIsDecodedOnceAndNoOther) {
    write();
    const std::size_t needed = blocks_needed();
    EXPECT_GT(needed, 12U);
    EXPECT_LT(needed, 100U);
    std::string expected;
    for (const unsigned threads : {1U, 2U, 3U, 7U}) {
        SCOPED_TRACE(threads);
        const BlockCounts blocks = run(threads).blocks;
        EXPECT_EQ(blocks.decoded, needed);
        EXPECT_EQ(blocks.again, 0U);
        EXPECT_EQ(blocks.direct, needed);
        EXPECT_EQ(blocks.by_gdal, 0U);
        const std::string bytes = bytes_of(m_folder.file("out.gpkg"));
        expected = expected.empty() ? bytes : expected;
        EXPECT_TRUE(bytes == expected);
    }
}

TEST_F(RunRastersTest, WithHardlyAnyMemoryBlocksAreDecodedAgainAndTheRowsAreTheSame) {
    write();
    const std::uint64_t needed = run(1).blocks.decoded;
    const std::string expected = bytes_of(m_folder.file("out.gpkg"));
    for (const unsigned threads : {1U, 3U}) {
        const BlockCounts blocks = run(threads, kTiny).blocks;
        EXPECT_GT(blocks.again, 0U);
        EXPECT_EQ(blocks.decoded - blocks.again, needed);
        EXPECT_TRUE(bytes_of(m_folder.file("out.gpkg")) == expected);
    }
}

TEST_F(RunRastersTest, SurfaceAndCanopyKeepTheSameRule) {
    SmallBasin basin;
    basin.terrain_settings = "surface = \"surface.tif\"\n";
    basin.settings = "[canopy]\nsource = \"canopy.tif\"\n";
    write_blocks("surface.tif", "EPSG:32610", [](Point place) { return ground_m(place) + 4.0; });
    write_blocks("canopy.tif", "EPSG:26910", [](Point) { return 6.0; });  // NAD83: another CRS
    write(basin);
    const std::size_t of_terrain = blocks_needed();
    for (const unsigned threads : {1U, 2U, 7U}) {
        const BlockCounts blocks = run(threads).blocks;
        EXPECT_EQ(blocks.again, 0U);
        EXPECT_GT(blocks.decoded, of_terrain + 10);
        EXPECT_LT(blocks.decoded, 300U);
    }
}

TEST_F(RunRastersTest, NothingIsKeptAfterTheLastTile) {
    write();
    Findings findings;
    Progress progress(ProgressStyle::none);
    const TempFolder work;
    const Project project = load_project(m_project, findings);
    const OpenInputs inputs = open_inputs(project, findings);
    const Plan plan = make_plan(project, inputs, Creeks(), work.path(), {.tile_side_m = kTileM}, findings, progress);
    const BasinClimate climate = read_climate(project, inputs, plan, {}, findings);
    const RunRasters rasters(inputs);
    const TileNeeds needs(rasters, project.resolved, inputs, plan);
    TileLoader loader(project, inputs, plan, climate, rasters);
    ASSERT_GT(plan.tiles.size(), 5U);
    for (std::size_t tile = 0; tile < plan.tiles.size(); ++tile) {
        (void)loader.load(plan.tiles[tile]);
        EXPECT_GT(rasters.cache->bytes(), 0U);
        needs.done(tile);
    }
    EXPECT_EQ(rasters.cache->bytes(), 0U);
}

TEST_F(RunRastersTest, ASourceOfPlannedTilesLetsBlocksGoByItself) {
    write();
    Findings findings;
    Progress progress(ProgressStyle::none);
    const TempFolder work;
    const Project project = load_project(m_project, findings);
    const OpenInputs inputs = open_inputs(project, findings);
    const Plan plan = make_plan(project, inputs, Creeks(), work.path(), {.tile_side_m = kTileM}, findings, progress);
    const BasinClimate climate = read_climate(project, inputs, plan, {}, findings);
    PlannedTiles tiles(project, inputs, plan, climate);
    ASSERT_EQ(tiles.count(), plan.tiles.size());
    const auto source = tiles.open();
    std::size_t roofs = 0;
    for (std::size_t tile = 0; tile < tiles.count(); ++tile) {
        for (const TileSite& site : source->load(tile).sites) {
            roofs += site.roofs.size();
        }
    }
    EXPECT_EQ(roofs, plan.roofs.size());
    EXPECT_GT(tiles.blocks().decoded, 0U);
    EXPECT_EQ(tiles.block_bytes(), 0U);
}

}  // namespace
}  // namespace eaveshed
