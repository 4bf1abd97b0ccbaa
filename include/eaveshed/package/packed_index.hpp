// The spatial index of a GeoPackage layer, packed: all rows at once, where inserting them one by one costs ten times as
// much.
#pragma once

#include <cstdint>
#include <filesystem>
#include <span>
#include <string>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/files/spill_array.hpp"
#include "eaveshed/outside/sqlite.hpp"

namespace eaveshed {

// Boxes of a layer's rows as SQLite's R*Tree module keeps them: single precision, widened outward; 16 bytes a row.
class PackedIndex {
public:
    // `scratch`: a folder for what many rows outgrow memory with, or empty.
    explicit PackedIndex(const std::filesystem::path& scratch = {}) : m_scratch(scratch), m_rows(scratch) {}

    // Memory goes back to the system until the next call.
    void rest() const { m_rows.rest(); }
    // Row ids from 1 on in ascending order; an empty box has no place in the index.
    void add(std::int64_t row_id, const Box& box);
    // Writes the nodes of an empty index, an R*Tree of two dimensions named `table`, in an open transaction. Rows near
    // each other along a Hilbert curve share a node, and equal rows give equal bytes. The boxes are gone afterwards.
    void write(Database& database, const std::string& table);

private:
    struct Bounds {  // of a row without a box: least above greatest
        float x_min = 0.0F;
        float x_max = -1.0F;
        float y_min = 0.0F;
        float y_max = -1.0F;
    };
    struct Cell {
        std::int64_t id = 0;
        Bounds bounds;
    };
    struct Level;
    class Writer;
    // Positions in m_rows of those that have a box, in the order of the curve: each the lower half of a number.
    [[nodiscard]] SpillArray<std::uint64_t> along_the_curve() const;
    // From what is above the leaves up to the root, the last level.
    [[nodiscard]] std::vector<Level> levels(const SpillArray<std::uint64_t>& order, std::size_t most_cells) const;

    std::filesystem::path m_scratch;
    SpillArray<Bounds> m_rows;  // by row id less 1
};

}  // namespace eaveshed
