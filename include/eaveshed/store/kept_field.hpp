// A field of series as it was read: in memory, or in a file where memory has no room for it.
#pragma once

#include <functional>
#include <memory>
#include <span>
#include <variant>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/core/step_field.hpp"
#include "eaveshed/store/series_file.hpp"

namespace eaveshed {

struct FieldInFile {
    Grid grid;
    std::shared_ptr<const SeriesFile> series;  // of every cell of its window; never null
};

using KeptField = std::variant<StepField, FieldInFile>;

[[nodiscard]] FieldFrame frame_of(const KeptField& field);

// Calls `visit` with the series of every cell of the window, row by row.
void visit_series(const KeptField& field, const std::function<void(std::span<const double>)>& visit);

}  // namespace eaveshed
