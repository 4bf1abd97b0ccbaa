// A gridded series at a point: rain, reference evapotranspiration, temperature.
#pragma once

#include <array>
#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/core/lanes.hpp"
#include "eaveshed/core/step_field.hpp"
#include "eaveshed/lanes/vectors.hpp"

namespace eaveshed {

struct SampledSeries {
    std::vector<double> values;  // one per step, in the field's unit; NaN is a missing step
    bool filled = false;         // taken from the nearest cell with data
};

// How far the nearest cell with data may lie from the point, cell centre to point, in cells.
inline constexpr double kFillReachCells = 3.0;

// Bilinear between cell centres, step by step: a missing neighbour drops out and the other weights are scaled up; a
// point inside the extent but outside the outer centres is clamped to them. Where every step is missing so, or the
// point lies outside the extent, the nearest cell with any valid step within kFillReachCells of the unclamped point
// (equal distances: lowest row, then column). None where there is no such cell.
//
// The field's window must hold the four cells around a point inside the extent (else a broken invariant). Cells outside
// it are passed over in the search for the nearest.
// method.md 2.1.
[[nodiscard]] std::optional<SampledSeries> sample_series(const SeriesField& field, Point point);

// What a lane holds of a point: nothing, because sample_series would look farther away; its values; its values, of
// which none is missing.
enum class LaneSample : std::uint8_t { none, values, whole };

// The values of sample_series at several points at once, a point a lane, to the last bit. At most kLanes points. `out`
// is filled anew: its memory is used again.
[[nodiscard]] std::array<LaneSample, kLanes> sample_lanes(const SeriesField& field,
                                                          std::span<const std::optional<Point>> points,
                                                          std::vector<Lanes>& out, Vectors vectors = widest_vectors());

// The series of a cell, from wherever they are kept; valid until the next one is asked for.
using ReadSeries = std::function<std::span<const double>(Cell)>;

// Makes a sparse field ready for sample_series at the point: reads and adds the series of the cells that will be asked
// for and are not there yet. The cells within reach only where the four around the point have no value.
void add_sampled_cells(SparseStepField& field, Point point, const ReadSeries& read);

}  // namespace eaveshed
