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
// working errors, a lock by another program is a passing one. A requested stop is Stopped.
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
    // Only features that meet the condition from here on (words/condition.hpp): the first of them, null where there is
    // none. A condition that cannot be worked out is an input error, whenever that turns out.
    [[nodiscard]] OGRFeatureUniquePtr first_where(const std::string& condition);
    void rewind();
    // Any other call that runs statements. Gives what the library said of failures, empty when all went well.
    std::string guarded(const std::function<void(OGRLayer&)>& work);

private:
    [[noreturn]] void report(const std::string& said) const;
    [[noreturn]] void refuse_condition(const std::string& said) const;

    VectorDataset m_dataset;
    OGRLayer* m_layer;
    std::string m_where;
    std::string m_condition;
    std::int64_t m_last_fid = -1;
    bool m_any_read = false;
};

}  // namespace eaveshed
