#include "eaveshed/store/kept_field.hpp"

#include <vector>

namespace eaveshed {

namespace {

template <typename Visit>
void visit_cells(const CellRange& window, Visit visit) {
    for (std::int64_t row = window.row_begin; row < window.row_end; ++row) {
        for (std::int64_t col = window.col_begin; col < window.col_end; ++col) {
            visit(Cell{row, col});
        }
    }
}

}  // namespace

FieldFrame frame_of(const KeptField& field) {
    if (const auto* const in_memory = std::get_if<StepField>(&field)) {
        return *in_memory;
    }
    const auto& in_file = std::get<FieldInFile>(field);
    return {in_file.grid, in_file.series->window(), in_file.series->steps()};
}

void visit_series(const KeptField& field, const std::function<void(std::span<const double>)>& visit) {
    if (const auto* const in_memory = std::get_if<StepField>(&field)) {
        visit_cells(in_memory->window, [&](Cell cell) { visit(in_memory->series(cell)); });
        return;
    }
    const SeriesFile& file = *std::get<FieldInFile>(field).series;
    std::vector<double> series(file.steps());
    visit_cells(file.window(), [&](Cell cell) {
        file.read(cell, series);
        visit(series);
    });
}

}  // namespace eaveshed
