// Where an extent lies on the Earth. Private to the module.
#pragma once

#include <optional>

#include "eaveshed/crs/crs.hpp"
#include "eaveshed/outside/gdal_crs.hpp"

namespace eaveshed {

// In WGS 84; none without a system, in a local one, and where there is no way.
[[nodiscard]] inline std::optional<Box> in_degrees(const Crs& crs, const Box& extent) {
    if (!crs.given() || crs.is_local() || extent.empty()) {
        return std::nullopt;
    }
    try {
        return Transform(crs, wgs84(), "extent")(extent);
    } catch (const Error&) {
        return std::nullopt;
    }
}

}  // namespace eaveshed
