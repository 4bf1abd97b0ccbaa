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

#include "eaveshed/feed/tile_loader.hpp"
#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using testing::bytes_of;
using testing::OutputFile;
using testing::TempFolder;

constexpr double kCellM = 250.0;
constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
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
        m_plan.emplace(make_plan(m_loaded, m_inputs, m_work.path(), {.tile_side_m = 300.0}, m_findings, progress));
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

TEST_P(RainInFileTest, StaysInMemoryUpToTheLimitAndNotBeyond) {
    open();
    const std::uint64_t bytes = [&] {
        const BasinClimate all = climate(std::numeric_limits<std::uint64_t>::max());
        const CellRange& window = all.input.rain.window;
        return static_cast<std::uint64_t>(window.rows() * window.cols()) * m_inputs.rain->timeline.steps.size() * 8;
    }();
    const BasinClimate in_memory = climate(bytes);
    EXPECT_FALSE(in_memory.rain_in_file());
    EXPECT_FALSE(std::filesystem::exists(m_work.path() / "rain.series"));
    const BasinClimate in_file = climate(bytes - 1);
    EXPECT_TRUE(in_file.rain_in_file());
    EXPECT_TRUE(std::filesystem::exists(m_work.path() / "rain.series"));
    EXPECT_TRUE(in_file.input.rain.values.empty());
    EXPECT_EQ(in_file.input.rain.steps, in_memory.input.rain.steps);
    EXPECT_EQ(in_file.input.rain.window, in_memory.input.rain.window);
    EXPECT_EQ(in_file.input.spells.size(), in_memory.input.spells.size());
    EXPECT_EQ(in_file.input.timeline.steps.size(), in_memory.input.timeline.steps.size());
}

TEST_P(RainInFileTest, ATileHasTheSeriesOfItsRoofsAlone) {
    open();
    const BasinClimate in_memory = climate(std::numeric_limits<std::uint64_t>::max());
    const BasinClimate in_file = climate(0);
    const RunRasters rasters(m_inputs);
    TileLoader loader(m_loaded, m_inputs, *m_plan, in_file, rasters);
    const auto cells_of_window = static_cast<std::size_t>(in_memory.input.rain.window.rows()) *
                                 static_cast<std::size_t>(in_memory.input.rain.window.cols());
    std::size_t fewest = cells_of_window;
    for (const PlannedTile& planned : m_plan->tiles) {
        const TileInput tile = loader.load(planned);
        ASSERT_TRUE(tile.rain);
        ASSERT_FALSE(tile.rain->cells.empty());
        fewest = std::min(fewest, tile.rain->cells.size());
        for (const HeldCell& held : tile.rain->cells) {
            const auto expected = in_memory.input.rain.series(held.cell);
            const auto series = tile.rain->series(held.cell);
            EXPECT_TRUE(std::ranges::equal(
                series, expected, [](double a, double b) { return a == b || (std::isnan(a) && std::isnan(b)); }));
        }
    }
    EXPECT_LE(fewest, 4U);
}

TEST_P(RainInFileTest, NeighboursDoNotReadTheSameSeriesAgainWhileTheyAreRemembered) {
    open();
    const BasinClimate in_file = climate(0);
    const RunRasters rasters(m_inputs);
    TileLoader loader(m_loaded, m_inputs, *m_plan, in_file, rasters);
    BasinClimate without_memory = in_file;
    without_memory.rain.most_kept_bytes = 0;
    TileRain remembers(in_file);
    TileRain forgets(without_memory);
    std::set<Cell> asked;
    std::size_t times = 0;
    for (const PlannedTile& planned : m_plan->tiles) {
        const TileInput tile = loader.load(planned);
        for (const HeldCell& held : remembers.around(tile.sites).cells) {
            asked.insert(held.cell);
            ++times;
        }
        const StepField again = forgets.around(tile.sites);
        EXPECT_EQ(again.values.size(), tile.rain->values.size());
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

}  // namespace
}  // namespace eaveshed
