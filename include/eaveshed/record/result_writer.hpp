// Where the finished rows of a run go: the one door from what was computed to a file.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/record/values.hpp"
#include "eaveshed/shape/polygon.hpp"
#include "eaveshed/shape/segment.hpp"

namespace eaveshed {

// A row made ready: whoever makes it need not be the one who writes.
struct LayerRow {
    std::size_t layer = 0;                // position among the layers
    std::vector<unsigned char> geometry;  // as the writer stores it; empty for none
    Box box;                              // of the geometry
    std::vector<Value> values;            // as the layer's columns
};

// One thread at a time adds; `made` may be called meanwhile by another. Without `finish` nothing stands under the
// result's name.
class ResultWriter {
public:
    virtual ~ResultWriter() = default;

    [[nodiscard]] virtual LayerRow made(std::size_t layer, std::vector<Value> values) const = 0;
    // An empty outline is a null geometry.
    [[nodiscard]] virtual LayerRow made(std::size_t layer, const MultiPolygon& outline,
                                        std::vector<Value> values) const = 0;
    [[nodiscard]] virtual LayerRow made(std::size_t layer, Point place, double z, std::vector<Value> values) const = 0;
    // A straight line with the elevations of its two ends.
    [[nodiscard]] virtual LayerRow made(std::size_t layer, const Segment& line, double z_from, double z_to,
                                        std::vector<Value> values) const = 0;
    // Two points at least.
    [[nodiscard]] virtual LayerRow made(std::size_t layer, const Line& line, std::vector<Value> values) const = 0;
    // Rows get the numbers 1, 2, 3, ... of their layer.
    virtual void add(const LayerRow& row) = 0;
    // No row of this layer comes any more.
    virtual void complete(std::size_t layer) = 0;
    // Plain text that describes the whole result.
    virtual void add_metadata(const std::string& text) = 0;
    // The last call: the result is put in place.
    virtual void finish() = 0;
};

}  // namespace eaveshed
