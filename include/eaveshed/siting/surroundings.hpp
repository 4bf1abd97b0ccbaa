// One roof among its neighbours, in local metres: what belongs to it and what is built on.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "eaveshed/shape/local_frame.hpp"
#include "eaveshed/shape/polygon.hpp"
#include "eaveshed/shape/prepared_area.hpp"

namespace eaveshed {

// A footprint with a geometry, in the terrain's CRS.
struct Building {
    std::uint64_t ordinal = 0;
    MultiPolygon outline;
};

// Immutable after construction. Points are in the frame's metres.
class Surroundings {
public:
    // `others` are footprints that may matter, the roof itself left out; `parcel` is null for a roof without one.
    Surroundings(const LocalFrame& frame, const MultiPolygon& roof, const MultiPolygon* parcel,
                 const std::vector<const Building*>& others);

    [[nodiscard]] double distance_to_roof_m(Point point) const { return m_roof.distance_to_area(point); }
    // Inside the parcel; without one: no other footprint is nearer than the roof itself.
    [[nodiscard]] bool belongs(Point point) const;
    // Inside any footprint, the roof included.
    [[nodiscard]] bool built_on(Point point) const;
    [[nodiscard]] const Box& roof_box() const { return m_roof_box; }

private:
    struct Other {
        Box box;
        PreparedArea area;
    };
    PreparedArea m_roof;
    Box m_roof_box;
    std::optional<PreparedArea> m_parcel;
    std::vector<Other> m_others;
};

}  // namespace eaveshed
