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

// One place in both frames: containment is decided in the terrain's CRS, where the vertices have their own digits, and
// distances in metres.
struct Place {
    Point crs;
    Point metres;
};

// Immutable after construction.
class Surroundings {
public:
    // `others` are footprints that may matter, the roof itself left out; `parcel` is null for a roof without one.
    Surroundings(const LocalFrame& frame, const MultiPolygon& roof, const MultiPolygon* parcel,
                 const std::vector<const Building*>& others);

    [[nodiscard]] double distance_to_roof_m(const Place& place) const {
        return m_roof.metres.distance_to_area(place.metres);
    }
    // The same where it is at most `limit_m`, else infinite.
    [[nodiscard]] double distance_to_roof_within_m(const Place& place, double limit_m) const {
        return m_roof.metres.distance_to_area_within(place.metres, limit_m);
    }
    // Inside the parcel; without one: no other footprint is nearer than the roof itself.
    [[nodiscard]] bool belongs(const Place& place) const;
    // Inside any footprint, the roof included.
    [[nodiscard]] bool built_on(const Place& place) const;
    // Whether the parcel's edge, holes included, is nearer than `limit_m`; never without a parcel.
    [[nodiscard]] bool nearer_to_boundary(const Place& place, double limit_m) const;
    // Whether any footprint is nearer than `limit_m`, the roof included, whose distance is given.
    [[nodiscard]] bool nearer_to_building(const Place& place, double distance_to_roof_m, double limit_m) const;

private:
    struct Shape {
        Shape(const LocalFrame& frame, const MultiPolygon& outline) : crs(outline), metres(frame.to_metres(outline)) {}
        PreparedArea crs;
        PreparedArea metres;
    };
    Shape m_roof;
    std::optional<Shape> m_parcel;
    std::vector<Shape> m_others;
};

}  // namespace eaveshed
