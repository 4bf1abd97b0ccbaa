#include "eaveshed/store/series_file.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <bit>
#include <cmath>
#include <cstdint>
#include <filesystem>
#include <vector>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/raster.hpp"
#include "support/expect_error.hpp"
#include "support/random_numbers.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using ::testing::Each;
using ::testing::ElementsAre;
using ::testing::IsNan;
using testing::RandomNumbers;
using testing::TempFolder;

constexpr CellRange kSeriesWindow{.row_begin = 3, .row_end = 5, .col_begin = 7, .col_end = 10};

class SeriesFileTest : public ::testing::Test {
protected:
    SeriesFile file(std::size_t steps) const { return {m_folder.path() / "a.series", kSeriesWindow, steps}; }
    static std::vector<double> series(const SeriesFile& file, Cell cell) {
        std::vector<double> values(file.steps());
        file.read(cell, values);
        return values;
    }
    static void write(SeriesFile& file, Cell cell, std::size_t first_step, std::vector<double> values) {
        file.write(cell, first_step, values);
    }

    TempFolder m_folder;
};

TEST_F(SeriesFileTest, GivesBackEachCellsSeriesToTheBit) {
    SeriesFile there = file(4);
    write(there, {4, 9}, 0, {0.0, -0.0, 1e-310, 3.25});
    write(there, {3, 7}, 0, {5.0, 6.0, kMissing, 8.0});
    const std::vector<double> expected{0.0, -0.0, 1e-310, 3.25};
    const std::vector<double> last = series(there, {4, 9});
    for (std::size_t i = 0; i < expected.size(); ++i) {
        EXPECT_EQ(std::bit_cast<std::uint64_t>(last[i]), std::bit_cast<std::uint64_t>(expected[i]));
    }
    EXPECT_THAT(series(there, {3, 7}), ElementsAre(5.0, 6.0, IsNan(), 8.0));
}

TEST_F(SeriesFileTest, WhatWasNeverWrittenIsMissing) {
    SeriesFile there = file(3);
    EXPECT_THAT(series(there, {3, 8}), Each(IsNan()));
    write(there, {3, 8}, 1, {2.0});
    EXPECT_THAT(series(there, {3, 7}), Each(IsNan()));  // before it in the file
    EXPECT_THAT(series(there, {3, 8}), ElementsAre(IsNan(), 2.0, IsNan()));
    EXPECT_THAT(series(there, {4, 9}), Each(IsNan()));  // behind its end
}

TEST_F(SeriesFileTest, AnEarlierFileIsReplacedAndNobodyElseMayReadIt) {
    {
        SeriesFile before = file(2);
        write(before, {3, 7}, 0, {1.0, 2.0});
    }
    const SeriesFile now = file(2);
    EXPECT_THAT(series(now, {3, 7}), Each(IsNan()));
    namespace fs = std::filesystem;
    const fs::perms others = fs::perms::group_all | fs::perms::others_all;
    EXPECT_EQ(fs::status(m_folder.path() / "a.series").permissions() & others, fs::perms::none);
}

TEST_F(SeriesFileTest, ACellOrStepThatItHasNotIsABrokenInvariant) {
    SeriesFile there = file(2);
    std::vector<double> two(2);
    std::vector<double> three(3);
    EXPECT_THROW(there.read({2, 7}, two), Error);
    EXPECT_THROW(there.read({3, 10}, two), Error);
    EXPECT_THROW(there.read({3, 7}, three), Error);
    EXPECT_THROW(there.write({3, 7}, 0, three), Error);
    EXPECT_THROW(there.write({3, 7}, 1, two), Error);
    EXPECT_THROW(there.write({5, 7}, 0, two), Error);
}

TEST_F(SeriesFileTest, AFolderThatIsNotThereIsAWorkingError) {
    testing::expect_error([&] { SeriesFile(m_folder.path() / "none" / "a", kSeriesWindow, 2); }, Fault::working,
                          {"cannot be created"});
}

TEST_F(SeriesFileTest, LackOfRoomIsAPassingError) {
    if (!std::filesystem::exists("/dev/full")) {
        GTEST_SKIP() << "no /dev/full here";
    }
    SeriesFile there("/dev/full", kSeriesWindow, 2);
    testing::expect_error([&] { write(there, {3, 7}, 0, {1.0, 2.0}); }, Fault::passing, {"cannot be written"});
}

// Maps in pieces of all kinds against the plain table of what each cell has.
TEST_F(SeriesFileTest, MapsBecomeSeriesWhateverTheirOrderAndPieces) {
    for (std::uint64_t seed = 0; seed < 40; ++seed) {
        SCOPED_TRACE(seed);
        RandomNumbers random(seed);
        constexpr std::size_t kSteps = 23;
        SeriesFile there = file(kSteps);
        SeriesWriter writer(there, static_cast<std::size_t>(random.whole(0, 60)));
        std::vector<std::vector<double>> expected(6, std::vector<double>(kSteps, kMissing));
        const bool shuffled = random.chance(0.3);
        const bool by_row = random.chance(0.5);
        for (std::size_t i = 0; i < kSteps; ++i) {
            const std::size_t step = shuffled ? i * 7 % kSteps : i;
            if (random.chance(0.1)) {
                continue;  // a hole of the record
            }
            for (std::int64_t row = kSeriesWindow.row_begin; row < kSeriesWindow.row_end; row += by_row ? 1 : 2) {
                const CellRange cells{row, by_row ? row + 1 : kSeriesWindow.row_end, kSeriesWindow.col_begin,
                                      kSeriesWindow.col_end};
                std::vector<double> map;
                for (std::int64_t k = 0; k < cells.rows() * cells.cols(); ++k) {
                    map.push_back(random.chance(0.1) ? kMissing : random.between(0.0, 40.0));
                    expected[static_cast<std::size_t>((row - kSeriesWindow.row_begin) * kSeriesWindow.cols() + k)]
                            [step] = map.back();
                }
                writer.put(cells, step, map);
            }
        }
        writer.finish();
        for (std::size_t cell = 0; cell < expected.size(); ++cell) {
            const auto at = static_cast<std::int64_t>(cell);
            const std::vector<double> got = series(there, {kSeriesWindow.row_begin + at / kSeriesWindow.cols(),
                                                           kSeriesWindow.col_begin + at % kSeriesWindow.cols()});
            for (std::size_t step = 0; step < kSteps; ++step) {
                EXPECT_EQ(std::bit_cast<std::uint64_t>(got[step]), std::bit_cast<std::uint64_t>(expected[cell][step]));
            }
        }
    }
}

}  // namespace
}  // namespace eaveshed
