// A rain record that is too large for memory gives the rows that it gives in memory.
#include "eaveshed/feed/basin_climate.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <limits>
#include <optional>
#include <set>

#include "eaveshed/feed/rain_from_file.hpp"
#include "eaveshed/feed/tile_loader.hpp"
#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/output_file.hpp"
#include "support/plain_values.hpp"

namespace eaveshed {
namespace {

using testing::kNaN;

using testing::bytes_of;
using testing::OutputFile;
using testing::TempFolder;

constexpr double kCellM = 250.0;
constexpr std::array<const char*, 3> kKinds{"daily", "monthly", "monthly-normals"};

// One third of the days, and now and then none at all; the winter is wet. The same whenever it is asked.
double shower_mm(int day, Point place) {
    const double winter = 1.0 + std::cos(2.0 * M_PI * (day - 60) / 365.25);
    const double here = std::sin(0.7 * day) + 0.3 * std::sin(place.x / 300.0 + day) * std::cos(place.y / 400.0);
    return here > 0.6 ? 15.0 * winter * (here - 0.6) : 0.0;
}

// No value in the north-west: some of its roofs have a cell with data within reach, others have none. Gaps elsewhere.
double with_gaps(int step, Point place, double depth_mm) {
    const int cell = static_cast<int>((place.x - kX0) / kCellM) + 3 * static_cast<int>((place.y - kY0) / kCellM);
    const bool nothing = place.x < kX0 + 1100.0 && place.y > kY0 + 350.0;
    return nothing || (step * 13 + cell) % 271 == 0 ? kNaN : depth_mm;
}

// A small basin whose rain has many cells, of one of the kinds.
class RainInFileTest : public ::testing::TestWithParam<const char*> {
protected:
    void SetUp() override {
        const std::string kind = GetParam();
        SmallBasin basin;
        basin.settings = "[[scenarios]]\nname = \"drier\"\nrain_factor = 0.8\n";
        write_basin(m_folder, basin);
        const bool daily = kind == "daily";
        const int bands = daily ? 5 * 365 : kind == "monthly" ? 12 * kYears : 12;
        testing::RasterSpec rain = raster_over_basin(kBasinCrs, kCellM, 1250.0, bands, [&](int step, Point place) {
            return with_gaps(kind == "monthly-normals" ? 1 : step, place,
                             daily ? shower_mm(step, place) : rain_mm(step, place));
        });
        rain.unit = "mm";
        rain.options = {"INTERLEAVE=BAND"};
        testing::write_raster(m_folder.file("rain.tif"), rain);
        std::string text = project_text(basin);
        const std::string before = "kind = \"monthly\"\nstart = \"1990-11\"\n";
        text.replace(text.find(before), before.size(),
                     "kind = \"" + kind + "\"\n" +
                         (daily               ? "start = \"1990-10-20\"\n"
                          : kind == "monthly" ? "start = \"1990-11\"\n"
                                              : ""));
        m_project = m_folder.write("many_cells.toml", text);
    }

    BasinClimate climate(std::uint64_t most_bytes) {
        return read_climate(m_loaded, m_inputs, *m_plan, {.most_rain_bytes = most_bytes, .folder = m_work.path()},
                            m_findings);
    }
    void open() {
        m_loaded = load_project(m_project, m_findings);
        m_inputs = open_inputs(m_loaded, m_findings);
        Progress progress(ProgressStyle::none);
        m_plan.emplace(
            make_plan(m_loaded, m_inputs, Creeks(), m_work.path(), {.tile_side_m = 300.0}, m_findings, progress));
    }

    TempFolder m_folder;
    TempFolder m_work;
    std::string m_project;
    Findings m_findings;
    Project m_loaded;
    OpenInputs m_inputs;
    std::optional<Plan> m_plan;
};

TEST_P(RainInFileTest, GivesTheBytesThatRainInMemoryGives) {
    screened(m_project, m_folder.file("memory.gpkg"), {.threads = 1, .tile_side_m = 300.0});
    const std::string expected = bytes_of(m_folder.file("memory.gpkg"));
    for (const unsigned threads : {1U, 3U}) {
        for (const double side : {300.0, 5000.0}) {
            screened(m_project, m_folder.file("file.gpkg"),
                     {.threads = threads, .tile_side_m = side, .overwrite = true, .most_rain_bytes = 0});
            EXPECT_TRUE(bytes_of(m_folder.file("file.gpkg")) == expected) << threads << " threads, tiles of " << side;
        }
    }
    // The basin asks for all that the file must answer.
    const OutputFile output(m_folder.file("memory.gpkg"));
    const auto count = [&](const std::string& where) {
        return output.rows("SELECT fid FROM roofs WHERE " + where).size();
    };
    EXPECT_GE(count("status = 'ok' AND flags LIKE '%rain_filled%'"), 2U);
    EXPECT_GE(count("status = 'ok' AND flags NOT LIKE '%rain_filled%'"), 5U);
    EXPECT_GE(count("status = 'no_rain'"), 2U);
}

bool in_memory(const BasinClimate& basin) {
    return std::holds_alternative<std::shared_ptr<const StepField>>(basin.rain);
}
const StepField& memory_of(const BasinClimate& basin) {
    return *std::get<std::shared_ptr<const StepField>>(basin.rain);
}

TEST_P(RainInFileTest, StaysInMemoryUpToTheLimitAndNotBeyond) {
    open();
    const std::uint64_t bytes = [&] {
        const BasinClimate all = climate(std::numeric_limits<std::uint64_t>::max());
        const CellRange& window = memory_of(all).window;
        return static_cast<std::uint64_t>(window.rows() * window.cols()) * m_inputs.rain->timeline.steps.size() * 8;
    }();
    const BasinClimate small = climate(bytes);
    EXPECT_TRUE(in_memory(small));
    EXPECT_FALSE(std::filesystem::exists(m_work.path() / "rain.series"));
    const BasinClimate large = climate(bytes - 1);
    EXPECT_FALSE(in_memory(large));
    EXPECT_TRUE(std::filesystem::exists(m_work.path() / "rain.series"));
    EXPECT_EQ(large.rain_grid, small.rain_grid);
    EXPECT_EQ(std::get<FieldInFile>(large.rain).series->window(), memory_of(small).window);
    EXPECT_EQ(depth_count(*large.record), memory_of(small).steps);
    EXPECT_EQ(depth_count(*large.record), depth_count(*small.record));
    EXPECT_EQ(timeline_of(*large.record).steps.size(), timeline_of(*small.record).steps.size());
}

RainFromFile from_file(const BasinClimate& basin, std::size_t most_kept_bytes = kRainKeptBytes) {
    return {basin.record, std::get<FieldInFile>(basin.rain), most_kept_bytes};
}

TEST_P(RainInFileTest, ATileHasTheSeriesOfItsRoofsAlone) {
    open();
    const BasinClimate whole = climate(std::numeric_limits<std::uint64_t>::max());
    const BasinClimate in_file = climate(0);
    const RunRasters rasters(m_inputs);
    TileLoader loader(m_loaded, m_inputs, *m_plan, in_file, rasters);
    RainFromFile rain = from_file(in_file);
    const CellRange& window = memory_of(whole).window;
    auto fewest = static_cast<std::size_t>(window.rows() * window.cols());
    for (const PlannedTile& planned : m_plan->tiles) {
        const SparseStepField of_tile = rain.sampled_by(loader.load(planned).sites);
        const std::vector<Cell> cells = of_tile.cells();
        ASSERT_FALSE(cells.empty());
        fewest = std::min(fewest, cells.size());
        for (const Cell cell : cells) {
            EXPECT_TRUE(std::ranges::equal(of_tile.series(cell), memory_of(whole).series(cell), [](double a, double b) {
                return a == b || (std::isnan(a) && std::isnan(b));
            }));
        }
    }
    EXPECT_LE(fewest, 4U);
}

TEST_P(RainInFileTest, NeighboursDoNotReadTheSameSeriesAgainWhileTheyAreRemembered) {
    open();
    const BasinClimate in_file = climate(0);
    const RunRasters rasters(m_inputs);
    TileLoader loader(m_loaded, m_inputs, *m_plan, in_file, rasters);
    RainFromFile remembers = from_file(in_file);
    RainFromFile forgets = from_file(in_file, 0);
    std::set<Cell> asked;
    std::size_t times = 0;
    for (const PlannedTile& planned : m_plan->tiles) {
        const TileInput tile = loader.load(planned);
        const std::vector<Cell> cells = remembers.sampled_by(tile.sites).cells();
        asked.insert(cells.begin(), cells.end());
        times += cells.size();
        EXPECT_EQ(forgets.sampled_by(tile.sites).cells(), cells);
    }
    EXPECT_LT(asked.size(), times);
    EXPECT_EQ(remembers.reads(), asked.size());
    EXPECT_EQ(forgets.reads(), times);
}

INSTANTIATE_TEST_SUITE_P(EveryKind, RainInFileTest, ::testing::ValuesIn(kKinds), [](const auto& kind) {
    std::string name = kind.param;
    std::erase(name, '-');
    return name;
});

// What a basin with these settings knows its evapotranspiration from, and at which places a roof asks for it.
struct KnownFrom {
    std::shared_ptr<const Et0Basis> basis;
    ClimatePlace place;
};
KnownFrom known_from(const TempFolder& folder, const std::string& settings) {
    SmallBasin basin;
    basin.settings = settings;
    const std::string project_file = write_basin(folder, basin);
    Findings findings;
    Progress progress(ProgressStyle::none);
    const TempFolder work;
    const Project project = load_project(project_file, findings);
    const OpenInputs inputs = open_inputs(project, findings);
    const Plan plan = make_plan(project, inputs, Creeks(), work.path(), {}, findings, progress);
    const BasinClimate climate = read_climate(project, inputs, plan, {}, findings);
    const RunRasters rasters(inputs);
    const TileInput tile = TileLoader(project, inputs, plan, climate, rasters).load(plan.tiles.at(0));
    return {climate.et0, tile.sites.at(0).roofs.at(0).climate_place};
}

TEST(BasinEt0, IsKnownFromItsRasterElseFromTemperaturesElseAssumed) {
    const TempFolder folder;
    const auto write = [&](const char* name, const char* unit, double value) {
        testing::RasterSpec spec = raster_over_basin(kBasinCrs, 500.0, 1250.0, 12, [&](int, Point) { return value; });
        spec.unit = unit;
        testing::write_raster(folder.file(name), spec);
    };
    write("et0.tif", "mm day-1", 4.0);
    write("low.tif", "degC", 8.0);
    write("high.tif", "degC", 25.0);
    const std::string temperatures = "[temperature]\nminimum = \"low.tif\"\nmaximum = \"high.tif\"\n";
    const std::string raster = "[evapotranspiration]\nsource = \"et0.tif\"\n";
    const KnownFrom nothing = known_from(folder, "");
    EXPECT_TRUE(std::holds_alternative<AssumedEt0>(*nothing.basis));
    EXPECT_FALSE(nothing.place.et0 || nothing.place.minimum_temperature);
    const KnownFrom from_temperatures = known_from(folder, temperatures);
    EXPECT_TRUE(std::holds_alternative<TemperatureFields>(*from_temperatures.basis));
    EXPECT_TRUE(from_temperatures.place.minimum_temperature && from_temperatures.place.maximum_temperature);
    for (const std::string& settings : {raster, raster + temperatures}) {
        const KnownFrom from_raster = known_from(folder, settings);
        ASSERT_TRUE(std::holds_alternative<Et0Field>(*from_raster.basis));
        EXPECT_EQ(std::get<Et0Field>(*from_raster.basis).mm_day.values.front(), 4.0);
        EXPECT_TRUE(from_raster.place.et0);
    }
}

}  // namespace
}  // namespace eaveshed
