// A flat frame in metres around one building: transverse Mercator on the CRS's own ellipsoid, scale 1 at the middle.
#pragma once

#include <memory>
#include <optional>

#include "eaveshed/io/crs.hpp"
#include "eaveshed/shape/polygon.hpp"

namespace eaveshed::io {

// For the outlines of one CRS. Not thread-safe: one per worker.
class OverhangFrame {
public:
    explicit OverhangFrame(const Crs& crs);  // not a local one
    ~OverhangFrame();
    OverhangFrame(OverhangFrame&&) noexcept;
    OverhangFrame& operator=(OverhangFrame&&) noexcept;

    [[nodiscard]] bool is_for(const Crs& crs) const;

    struct Placed {
        MultiPolygon outline_m;       // around (0, 0)
        Point centre_deg;             // the outline's centroid: longitude (not wrapped), latitude
    };
    // None where a vertex has no longitude and latitude.
    [[nodiscard]] std::optional<Placed> place(const MultiPolygon& outline) const;
    // Another outline of the same frame in the CRS's coordinates.
    [[nodiscard]] std::optional<MultiPolygon> bring_back(const Placed& placed, const MultiPolygon& outline_m) const;

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

}  // namespace eaveshed::io
