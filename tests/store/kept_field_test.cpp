#include "eaveshed/store/kept_field.hpp"

#include <gtest/gtest.h>

#include <vector>

#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

constexpr Grid kGrid{.x_min = 0.0, .y_max = 4.0, .cell_width = 1.0, .cell_height = 1.0, .rows = 4, .cols = 5};
constexpr CellRange kWindow{.row_begin = 1, .row_end = 3, .col_begin = 2, .col_end = 4};

std::vector<std::vector<double>> all_series(const KeptField& field) {
    std::vector<std::vector<double>> all;
    visit_series(field, [&](std::span<const double> series) { all.emplace_back(series.begin(), series.end()); });
    return all;
}

TEST(KeptField, GivesTheSameFrameAndSeriesFromMemoryAndFromAFile) {
    const testing::TempFolder folder;
    const KeptField in_memory = StepField({kGrid, kWindow, 2}, {1, 2, 3, 4, 5, 6, 7, 8});
    const auto file = std::make_shared<SeriesFile>(folder.path() / "a.series", kWindow, 2);
    for (const Cell cell : {Cell{2, 3}, Cell{1, 2}, Cell{2, 2}, Cell{1, 3}}) {
        const auto series = std::get<StepField>(in_memory).series(cell);
        std::vector<double> values(series.begin(), series.end());
        file->write(cell, 0, values);
    }
    const KeptField in_file = FieldInFile{kGrid, file};
    EXPECT_EQ(frame_of(in_file).grid, frame_of(in_memory).grid);
    EXPECT_EQ(frame_of(in_file).window, kWindow);
    EXPECT_EQ(frame_of(in_file).steps, 2U);
    const std::vector<std::vector<double>> expected{{1, 2}, {3, 4}, {5, 6}, {7, 8}};
    EXPECT_EQ(all_series(in_memory), expected);
    EXPECT_EQ(all_series(in_file), expected);
}

}  // namespace
}  // namespace eaveshed
