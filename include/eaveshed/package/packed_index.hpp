// The spatial index of a GeoPackage layer, packed: all rows at once, where inserting them one by one costs ten times as
// much.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/outside/sqlite.hpp"

namespace eaveshed {

// Boxes of a layer's rows as SQLite's R*Tree module keeps them: single precision, widened outward.
class PackedIndex {
public:
    // Row ids in ascending order; an empty box has no place in the index.
    void add(std::int64_t row_id, const Box& box);
    // Writes the nodes of an empty index, an R*Tree of two dimensions named `table`, in an open transaction. Rows near
    // each other along a Hilbert curve share a node, and equal rows give equal bytes. The boxes are gone afterwards.
    void write(Database& database, const std::string& table);

private:
    struct Entry {
        std::int64_t id = 0;
        float x_min = 0.0F;
        float x_max = 0.0F;
        float y_min = 0.0F;
        float y_max = 0.0F;
    };
    struct Level;
    // Puts the entries in the order of the curve.
    void order();
    [[nodiscard]] static std::vector<Level> levels(std::vector<Entry> leaves, std::size_t most_cells);
    [[nodiscard]] static Entry around(std::span<const Entry> cells);
    [[nodiscard]] static std::vector<unsigned char> packed(std::span<const Entry> cells, std::size_t height,
                                                           std::size_t node_bytes);

    std::vector<Entry> m_entries;
};

}  // namespace eaveshed
