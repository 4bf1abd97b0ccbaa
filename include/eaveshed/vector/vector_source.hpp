// Vector layers as plain features. The only door for vectors.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/grid.hpp"
#include "eaveshed/crs/crs.hpp"
#include "eaveshed/settings/settings.hpp"

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

// Not thread-safe. Reads in the layer's own order.
class VectorSource {
public:
    // `fields`: names wanted (an empty name stands for a field that was not given; its value is always null). A missing
    // layer or field, an empty selection, a missing CRS, a wrong geometry type or a bad filter is an input error that
    // lists what there is. `setting` is the section, e.g. "footprints", or section and key where the key is not
    // `source`. Tables of overrides need no geometry, no CRS and no rows.
    static VectorSource open(const std::string& setting, const LayerSource& from,
                             const std::vector<std::string>& fields, const std::string& where_filter,
                             Findings& findings);
    ~VectorSource();
    VectorSource(VectorSource&& other) noexcept;
    VectorSource& operator=(VectorSource&& other) noexcept;

    [[nodiscard]] const VectorInfo& info() const;
    // False at the end. A read error is a working error.
    bool next(Feature& feature);
    void rewind();

private:
    struct Impl;
    explicit VectorSource(std::unique_ptr<Impl> impl);
    std::unique_ptr<Impl> m_impl;
};

// A number from a field's text: decimal point, surrounding blanks allowed; none for anything else, NaN or infinity.
[[nodiscard]] std::optional<double> number_from_text(const std::optional<std::string>& text);

}  // namespace eaveshed
