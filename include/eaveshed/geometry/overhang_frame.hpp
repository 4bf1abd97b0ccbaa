// A flat frame in metres around one building: transverse Mercator on the CRS's own ellipsoid, scale 1 at the middle.
#pragma once

#include <memory>
#include <optional>

#include "eaveshed/crs/crs.hpp"
#include "eaveshed/shape/polygon.hpp"

namespace eaveshed {

// For the outlines of one CRS. Not thread-safe: one per worker.
class OverhangFrame {
public:
    explicit OverhangFrame(const Crs& crs);  // not a local one
    ~OverhangFrame();
    OverhangFrame(OverhangFrame&& other) noexcept;
    OverhangFrame& operator=(OverhangFrame&& other) noexcept;

    [[nodiscard]] bool is_for(const Crs& crs) const;

    // The outline around (0, 0) in the frame of its own centroid, which the frame keeps until the next call. None where
    // a vertex has no longitude and latitude.
    [[nodiscard]] std::optional<MultiPolygon> place(const MultiPolygon& outline);
    // Another outline in the frame of the last place() in the CRS's coordinates.
    [[nodiscard]] std::optional<MultiPolygon> bring_back(const MultiPolygon& outline_m) const;

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

}  // namespace eaveshed
