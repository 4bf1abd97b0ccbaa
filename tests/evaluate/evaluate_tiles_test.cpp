// The workers of a run with tiles and rows in memory: no file, no GDAL.
#include "eaveshed/evaluate/evaluate_tiles.hpp"

#include <gtest/gtest.h>

#include <atomic>
#include <csignal>
#include <functional>
#include <map>
#include <mutex>
#include <set>
#include <stdexcept>
#include <vector>

#include "eaveshed/record/columns.hpp"
#include "eaveshed/record/values.hpp"
#include "eaveshed/tile/evaluate.hpp"
#include "site/tile_samples.hpp"

namespace eaveshed {
namespace {

// Tile i: a parcel with i % 3 + 1 roofs on kGround, all its own.
class TilesInMemory final : public TileSources {
public:
    TilesInMemory(const Settings& settings, std::size_t count) : m_climate(mean_year(settings)), m_count(count) {}

    [[nodiscard]] std::size_t count() const override { return m_count; }
    [[nodiscard]] std::unique_ptr<TileSource> open() override {
        ++opened;
        return std::make_unique<Source>(*this);
    }
    std::size_t leave_out(std::size_t tile) override { return tile % 3 + 1; }
    [[nodiscard]] TileInput tile(std::size_t number) const {
        TileSite site;
        site.parcel = parcel_with_measured_use();
        site.parcel->ordinal = number;
        site.parcel->outline = testing::rectangle(40.0, 60.0, 120.0, 90.0);
        for (std::size_t i = 0; i <= number % 3; ++i) {
            const double x = 70.0 + 12.0 * static_cast<double>(i) + static_cast<double>(number % 7);
            site.roofs.push_back(roof_at(x, 100.0, 3 * number + i));
        }
        return tile_with({site}, m_climate);
    }

    std::function<void(std::size_t tile)> before_load = [](std::size_t) {};
    std::atomic<std::size_t> opened = 0;
    std::atomic<std::size_t> loaded = 0;

private:
    class Source final : public TileSource {
    public:
        explicit Source(TilesInMemory& tiles) : m_tiles(tiles) {}
        [[nodiscard]] TileInput load(std::size_t tile) override {
            m_tiles.before_load(tile);
            ++m_tiles.loaded;
            return m_tiles.tile(tile);
        }

    private:
        TilesInMemory& m_tiles;
    };

    RoofClimate m_climate;
    std::size_t m_count;
};

class RowsInMemory final : public TileRowSink {
public:
    void write(std::uint64_t tile, const TileRows& rows) override {
        const std::scoped_lock lock(m_mutex);
        before_write(tile);
        if (!by_tile.emplace(tile, rows).second) {
            throw std::logic_error("a tile written twice");
        }
    }
    [[nodiscard]] bool holds(std::uint64_t tile) const override { return held.contains(tile); }
    std::function<void(std::uint64_t tile)> before_write = [](std::uint64_t) {};
    std::map<std::uint64_t, TileRows> by_tile;
    std::set<std::uint64_t> held;  // from a run before

private:
    std::mutex m_mutex;
};

std::vector<Value> values_in(const TileRows& rows) {
    std::vector<Value> values;
    for (const RoofRows& roof : rows.roofs) {
        values.emplace_back(static_cast<std::int64_t>(roof.ordinal));
        values_of(roof.roof, values);
    }
    for (const ParcelRows& parcel : rows.parcels) {
        values.emplace_back(static_cast<std::int64_t>(parcel.ordinal));
        values_of(parcel.parcel, values);
    }
    return values;
}

class EvaluateTiles : public ::testing::Test {
protected:
    ~EvaluateTiles() override { request_stop(0); }
    void run(unsigned threads) {
        Progress progress(ProgressStyle::none);
        evaluate_tiles(m_tiles, m_rows, m_settings, threads, progress);
    }
    Settings m_settings = two_options();
    TilesInMemory m_tiles{m_settings, 40};
    RowsInMemory m_rows;
};

TEST_F(EvaluateTiles, GivesEveryTileItsOwnRowsWithAnyNumberOfThreads) {
    for (const unsigned threads : {1U, 2U, 5U}) {
        SCOPED_TRACE(threads);
        m_rows.by_tile.clear();
        m_tiles.opened = m_tiles.loaded = 0;
        run(threads);
        ASSERT_EQ(m_rows.by_tile.size(), m_tiles.count());
        for (const auto& [tile, rows] : m_rows.by_tile) {
            SCOPED_TRACE(tile);
            EXPECT_EQ(rows.roofs.size(), tile % 3 + 1);
            EXPECT_EQ(values_in(rows), values_in(evaluate_tile(m_tiles.tile(tile), m_settings)));
        }
        EXPECT_NE(values_in(m_rows.by_tile.at(0)), values_in(m_rows.by_tile.at(3)));
        EXPECT_EQ(m_tiles.loaded, m_tiles.count());
        EXPECT_GE(m_tiles.opened, 1U);
        EXPECT_LE(m_tiles.opened, threads);
    }
}

TEST_F(EvaluateTiles, WithoutTilesNothingIsOpened) {
    TilesInMemory none(m_settings, 0);
    Progress progress(ProgressStyle::none);
    evaluate_tiles(none, m_rows, m_settings, 3, progress);
    EXPECT_EQ(none.opened, 0U);
    EXPECT_TRUE(m_rows.by_tile.empty());
}

TEST_F(EvaluateTiles, ASourceThatThrowsEndsTheWork) {
    m_tiles.before_load = [](std::size_t tile) {
        if (tile == 7) {
            throw std::runtime_error("no such elevations");
        }
    };
    EXPECT_THROW(run(1), std::runtime_error);
    EXPECT_EQ(m_rows.by_tile.size(), 7U);  // those before it
    m_rows.by_tile.clear();
    EXPECT_THROW(run(4), std::runtime_error);
    EXPECT_FALSE(m_rows.by_tile.contains(7));
}

TEST_F(EvaluateTiles, SoDoesASinkThatThrows) {
    m_rows.before_write = [](std::uint64_t tile) {
        if (tile == 3) {
            throw std::runtime_error("no room");
        }
    };
    EXPECT_THROW(run(1), std::runtime_error);
    EXPECT_EQ(m_rows.by_tile.size(), 3U);
    EXPECT_EQ(m_tiles.loaded, 4U);
}

TEST_F(EvaluateTiles, ARequestedStopLetsTheTilesAtHandBeWrittenAndBeginsNoOther) {
    m_tiles.before_load = [](std::size_t tile) {
        if (tile == 5) {
            request_stop(SIGINT);
        }
    };
    try {
        run(1);
        FAIL() << "went on";
    } catch (const Stopped& stopped) {
        EXPECT_EQ(stopped.exit_code(), 130);
    }
    EXPECT_EQ(m_rows.by_tile.size(), 6U);
    EXPECT_TRUE(m_rows.by_tile.contains(5));
    EXPECT_THROW(run(3), Stopped);  // asked before it begins
    EXPECT_EQ(m_tiles.loaded, 6U);
}

}  // namespace
}  // namespace eaveshed
