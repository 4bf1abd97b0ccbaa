// A layer as plain features, wherever they come from: a file (vector/vector_source.hpp) or a test's memory.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/crs/crs.hpp"

namespace eaveshed {

struct VectorInfo {
    std::string where;  // setting, path as given, layer: for messages
    std::string file;
    std::string layer;
    Crs crs;
    std::int64_t feature_count = 0;   // after the filter
    Box extent;                       // of the layer, from its header or by reading
    std::vector<std::string> fields;  // the names of all there are, in their order
};

// One feature. `wkb` is ISO WKB, two-dimensional, curves made straight; empty when the feature has no geometry.
struct Feature {
    std::int64_t fid = 0;
    std::vector<unsigned char> wkb;
    std::vector<std::optional<std::string>> values;  // of the fields asked for, in their order; valid UTF-8
    bool text_replaced = false;                      // an invalid byte sequence in a value was replaced by U+FFFD
};

// Not thread-safe. Gives the features in the layer's own order, as often as wanted.
class FeatureSource {
public:
    virtual ~FeatureSource() = default;

    [[nodiscard]] virtual const VectorInfo& info() const = 0;
    // From the first feature on again, with the values of these fields. An empty name stands for a field that was not
    // given: its value is always null. A name that the layer does not have is an input error that lists what there is.
    virtual void begin(const std::vector<std::string>& fields) = 0;
    // False at the end. A read error is a working error.
    virtual bool next(Feature& feature) = 0;
};

// What names a feature: the value at a place, or its number in the layer where that holds nothing, or blanks alone.
[[nodiscard]] std::string id_of(const Feature& feature, std::size_t place);
[[nodiscard]] bool has_id(const Feature& feature, std::size_t place);

// A number from a field's text: decimal point, surrounding blanks allowed; none for anything else, NaN or infinity.
[[nodiscard]] std::optional<double> number_from_text(const std::optional<std::string>& text);

}  // namespace eaveshed
