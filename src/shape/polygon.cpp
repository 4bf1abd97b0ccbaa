#include "eaveshed/shape/polygon.hpp"

namespace eaveshed {

Box bounds(const Line& line) {
    Box box;
    for (const Point& point : line) {
        box.add(point);
    }
    return box;
}

// Holes lie inside their outer ring: they add nothing.
Box bounds(const MultiPolygon& outline) {
    Box box;
    for (const Polygon& part : outline.parts) {
        box.add(bounds(part.outer));
    }
    return box;
}

}  // namespace eaveshed
