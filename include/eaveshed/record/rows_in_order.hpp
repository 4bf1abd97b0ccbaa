// The rows of all tiles, asked for in input order: what stands between the tiles and the output.
#pragma once

#include <cstdint>
#include <optional>

#include "eaveshed/record/tile_rows.hpp"

namespace eaveshed {

// One thread at a time. Cheapest in ascending order.
class RowsInOrder {
public:
    virtual ~RowsInOrder() = default;
    // Of a footprint by its position in the input; every footprint has rows.
    [[nodiscard]] virtual RoofRows roof(std::uint64_t ordinal) = 0;
    // None for a parcel that no tile evaluated: one without roofs.
    [[nodiscard]] virtual std::optional<ParcelRows> parcel(std::uint64_t ordinal) = 0;
    // Memory goes back to the system that is not needed until another row is asked for.
    virtual void rest() {}
};

}  // namespace eaveshed
