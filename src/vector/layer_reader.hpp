// One layer read feature by feature, where a failure of the library is an error and never a shorter layer.
// Private to the module: it hands out the library's own features.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <string>

#include <ogrsf_frmts.h>

#include "eaveshed/vector/vector_dataset.hpp"

namespace eaveshed {

inline constexpr std::size_t kMessageBytes = 500;  // of what a library says, and of what it says it of

// Not thread-safe. Owns the file. A statement that runs for too long without a row (VectorDataset) and a read error are
// working errors, a lock by another program is a passing one.
class LayerReader {
public:
    LayerReader(VectorDataset dataset, const std::string& layer_name, GeometryNeed need, Findings& findings);

    [[nodiscard]] OGRLayer& layer() { return *m_layer; }
    [[nodiscard]] const std::string& driver() const { return m_dataset.driver(); }
    [[nodiscard]] bool has_point_columns(GeometryNeed need) const {
        return m_dataset.has_point_columns(*m_layer, need);
    }
    // Setting, path and layer, for messages.
    [[nodiscard]] const std::string& where() const { return m_where; }

    // Null at the end.
    [[nodiscard]] OGRFeatureUniquePtr next();
    void rewind();
    // Any other call that runs statements. Gives what the library said of failures, empty when all went well.
    std::string guarded(const std::function<void(OGRLayer&)>& work);

private:
    [[noreturn]] void report(const std::string& said) const;

    VectorDataset m_dataset;
    OGRLayer* m_layer;
    std::string m_where;
    std::int64_t m_last_fid = -1;
    bool m_any_read = false;
};

}  // namespace eaveshed
