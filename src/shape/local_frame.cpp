#include "eaveshed/shape/local_frame.hpp"

#include <algorithm>

namespace eaveshed {

Line LocalFrame::to_metres(const Line& crs) const {
    Line local(crs.size());
    std::transform(crs.begin(), crs.end(), local.begin(), [this](Point point) { return to_metres(point); });
    return local;
}

MultiPolygon LocalFrame::to_metres(const MultiPolygon& crs) const {
    return mapped(crs, [this](Point point) { return to_metres(point); });
}

}  // namespace eaveshed
