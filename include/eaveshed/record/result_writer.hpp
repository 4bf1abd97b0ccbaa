// Where the finished rows of a run go: the one door from what was computed to a file.
#pragma once

#include <cstddef>
#include <string>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/record/row_batch.hpp"
#include "eaveshed/shape/polygon.hpp"
#include "eaveshed/shape/segment.hpp"

namespace eaveshed {

// One thread at a time adds; `put` may be called meanwhile by another. Without `finish` nothing stands under the
// result's name.
class ResultWriter {
public:
    virtual ~ResultWriter() = default;

    // Geometries of the batch's last row, as the writer stores them. An empty outline is a null geometry.
    virtual void put(const MultiPolygon& outline, RowBatch& batch) const = 0;
    virtual void put(Point place, double z, RowBatch& batch) const = 0;
    // A straight line with the elevations of its two ends.
    virtual void put(const Segment& line, double z_from, double z_to, RowBatch& batch) const = 0;
    // Two points at least.
    virtual void put(const Line& line, RowBatch& batch) const = 0;
    // Rows get the numbers 1, 2, 3, ... of their layer; the values of each are as the layer's columns.
    virtual void add(const RowBatch& batch) = 0;
    // No row of this layer comes any more.
    virtual void complete(std::size_t layer) = 0;
    // Plain text that describes the whole result.
    virtual void add_metadata(const std::string& text) = 0;
    // The last call: the result is put in place.
    virtual void finish() = 0;
};

}  // namespace eaveshed
