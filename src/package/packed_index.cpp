#include "eaveshed/package/packed_index.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>
#include <utility>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

// As SQLite lays a node out (rtree.c, "Database Format of R-Tree Tables"): big-endian; the tree's height in the root's
// first two bytes, the number of cells in the next two; then cells of an id and four coordinates.
constexpr std::size_t kNodeHead = 4;
constexpr std::size_t kCellBytes = 8 + 4 * 4;
constexpr std::int64_t kRoot = 1;

float rounded_down(double value) {
    const auto rounded = static_cast<float>(value);
    return static_cast<double>(rounded) > value ? std::nextafter(rounded, -std::numeric_limits<float>::infinity())
                                                : rounded;
}

float rounded_up(double value) {
    const auto rounded = static_cast<float>(value);
    return static_cast<double>(rounded) < value ? std::nextafter(rounded, std::numeric_limits<float>::infinity())
                                                : rounded;
}

template <typename Unsigned>
void put(Unsigned value, std::size_t& at, std::vector<unsigned char>& bytes) {
    for (std::size_t i = sizeof(Unsigned); i-- > 0;) {
        bytes[at++] = static_cast<unsigned char>(value >> (8U * i));
    }
}

// Place along a Hilbert curve of order 16 (Hilbert 1891; the usual walk down the quadrants).
std::uint64_t hilbert_place(std::uint32_t x, std::uint32_t y) {
    std::uint64_t place = 0;
    for (std::uint32_t side = 1U << 15U; side > 0; side >>= 1U) {
        const std::uint32_t right = (x & side) != 0 ? 1 : 0;
        const std::uint32_t upper = (y & side) != 0 ? 1 : 0;
        place += std::uint64_t{side} * side * ((3U * right) ^ upper);
        if (upper == 0) {
            if (right == 1) {
                x = 0xFFFFU - x;
                y = 0xFFFFU - y;
            }
            std::swap(x, y);
        }
    }
    return place;
}

void run_with(Statement& statement, std::int64_t first, std::int64_t second) {
    statement.bind(1, first);
    statement.bind(2, second);
    statement.run();
}

}  // namespace

// The nodes of one level: node i holds the cells from where the one before ends up to ends[i].
struct PackedIndex::Level {
    std::vector<Cell> cells;  // none of the leaves, whose cells are the rows
    std::vector<std::size_t> ends;
    std::int64_t first_number = 0;  // of its nodes

    // Spreads the cells evenly over as few nodes as hold them, so that none is nearly empty.
    void spread(std::size_t count, std::size_t most_cells) {
        const std::size_t nodes = (count + most_cells - 1) / most_cells;
        for (std::size_t node = 0; node < nodes; ++node) {
            ends.push_back((node + 1) * count / nodes);
        }
    }
    [[nodiscard]] std::size_t begin_of(std::size_t node) const { return node > 0 ? ends[node - 1] : 0; }
};

void PackedIndex::add(std::int64_t row_id, const Box& box) {
    if (row_id <= static_cast<std::int64_t>(m_rows.size())) {
        internal_error("rows of a spatial index out of order");
    }
    if (!box.empty()) {
        m_rows.resize(static_cast<std::size_t>(row_id));
        m_rows.back() = {rounded_down(box.x_min), rounded_up(box.x_max), rounded_down(box.y_min),
                         rounded_up(box.y_max)};
    }
}

SpillArray<std::uint64_t> PackedIndex::along_the_curve() const {
    const auto has_box = [](const Bounds& row) { return row.x_min <= row.x_max; };
    Box extent;
    for (const Bounds& row : m_rows) {
        if (has_box(row)) {
            extent.add(Point{row.x_min, row.y_min});
            extent.add(Point{row.x_max, row.y_max});
        }
    }
    constexpr double kSteps = 65535.0;
    const auto step = [](double value, double low, double high) {
        return high > low ? static_cast<std::uint32_t>((value - low) / (high - low) * kSteps) : 0U;
    };
    // The place along the curve in the upper half, the row in the lower: equal places keep their order.
    SpillArray<std::uint64_t> keys(m_scratch);
    keys.reserve(m_rows.size());
    for (std::size_t i = 0; i < m_rows.size(); ++i) {
        const Bounds& row = m_rows[i];
        if (has_box(row)) {
            const double x = 0.5 * (double{row.x_min} + double{row.x_max});
            const double y = 0.5 * (double{row.y_min} + double{row.y_max});
            const std::uint64_t place =
                hilbert_place(step(x, extent.x_min, extent.x_max), step(y, extent.y_min, extent.y_max));
            keys.push_back(place << 32U | i);
        }
    }
    std::ranges::sort(keys);
    return keys;
}

namespace {

constexpr std::size_t row_of(std::uint64_t key) {
    return key & 0xFFFFFFFFU;
}

}  // namespace

std::vector<PackedIndex::Level> PackedIndex::levels(const SpillArray<std::uint64_t>& order,
                                                    std::size_t most_cells) const {
    const auto around = [](Bounds whole, const Bounds& other) {
        return Bounds{std::min(whole.x_min, other.x_min), std::max(whole.x_max, other.x_max),
                      std::min(whole.y_min, other.y_min), std::max(whole.y_max, other.y_max)};
    };
    std::vector<Level> levels(1);
    levels.back().spread(order.size(), most_cells);
    while (levels.back().ends.size() > 1) {
        const Level& below = levels.back();
        const auto bounds_at = [&](std::size_t cell) {
            return levels.size() == 1 ? m_rows[row_of(order[cell])] : below.cells[cell].bounds;
        };
        Level above;
        for (std::size_t node = 0; node < below.ends.size(); ++node) {
            Bounds whole = bounds_at(below.begin_of(node));
            for (std::size_t cell = below.begin_of(node) + 1; cell < below.ends[node]; ++cell) {
                whole = around(whole, bounds_at(cell));
            }
            above.cells.push_back({0, whole});
        }
        above.spread(above.cells.size(), most_cells);
        levels.push_back(std::move(above));
    }
    std::int64_t next = kRoot;
    for (auto level = levels.rbegin(); level != levels.rend(); ++level) {
        level->first_number = next;
        next += static_cast<std::int64_t>(level->ends.size());
    }
    return levels;
}

// Puts the nodes into the tables of the index.
class PackedIndex::Writer {
public:
    Writer(Database& database, std::string table)
        : m_database(database),
          m_table(std::move(table)),
          m_node_bytes(root_bytes()),
          m_add_node(database, "INSERT OR REPLACE INTO " + part("_node") + " (nodeno, data) VALUES (?, ?)"),
          m_add_parent(database, "INSERT INTO " + part("_parent") + " (nodeno, parentnode) VALUES (?, ?)") {}

    [[nodiscard]] std::size_t most_cells() const { return (m_node_bytes - kNodeHead) / kCellBytes; }
    void add_node(std::int64_t number, std::size_t height, std::span<const Cell> cells) {
        std::vector<unsigned char> bytes(m_node_bytes, 0);
        std::size_t at = 0;
        put(static_cast<std::uint16_t>(number == kRoot ? height : 0), at, bytes);
        put(static_cast<std::uint16_t>(cells.size()), at, bytes);
        for (const auto& [id, bounds] : cells) {
            put(static_cast<std::uint64_t>(id), at, bytes);
            for (const float value : {bounds.x_min, bounds.x_max, bounds.y_min, bounds.y_max}) {
                put(std::bit_cast<std::uint32_t>(value), at, bytes);
            }
        }
        m_add_node.bind(1, number);
        m_add_node.bind_blob(2, bytes);
        m_add_node.run();
    }
    void add_parent(std::int64_t node, std::int64_t parent) { run_with(m_add_parent, node, parent); }
    // `leaf_of`: by row id less 1; 0 for a row without a box.
    void add_rows(const SpillArray<std::uint32_t>& leaf_of) {
        Statement add_row(m_database, "INSERT INTO " + part("_rowid") + " (rowid, nodeno) VALUES (?, ?)");
        for (std::size_t i = 0; i < leaf_of.size(); ++i) {
            if (leaf_of[i] != 0) {
                run_with(add_row, static_cast<std::int64_t>(i + 1), std::int64_t{leaf_of[i]});
            }
        }
    }

private:
    [[nodiscard]] std::string part(const char* name) const { return quoted_identifier(m_table + name); }
    // The size of a node is the module's to say.
    [[nodiscard]] std::size_t root_bytes() const {
        Statement root(m_database, "SELECT length(data) FROM " + part("_node") + " WHERE nodeno = 1");
        if (!root.step()) {
            internal_error("a spatial index without a root");
        }
        return static_cast<std::size_t>(root.integer(0));
    }

    Database& m_database;
    std::string m_table;
    std::size_t m_node_bytes;
    Statement m_add_node;
    Statement m_add_parent;
};

void PackedIndex::write(Database& database, const std::string& table) {
    if (m_rows.size() > std::numeric_limits<std::uint32_t>::max()) {
        internal_error("more rows than a packed index counts");
    }
    const SpillArray<std::uint64_t> order = along_the_curve();
    if (order.empty()) {
        return;
    }
    Writer writer(database, table);
    const std::vector<Level> tree = levels(order, writer.most_cells());
    SpillArray<std::uint32_t> leaf_of(m_scratch);
    leaf_of.resize(m_rows.size(), 0);
    std::vector<Cell> cells;
    for (std::size_t height = tree.size(); height-- > 0;) {
        const Level& level = tree[height];
        for (std::size_t node = 0; node < level.ends.size(); ++node) {
            const std::int64_t number = level.first_number + static_cast<std::int64_t>(node);
            cells.clear();
            for (std::size_t i = level.begin_of(node); i < level.ends[node]; ++i) {
                if (height == 0) {
                    const std::size_t row = row_of(order[i]);
                    leaf_of[row] = static_cast<std::uint32_t>(number);
                    cells.push_back({static_cast<std::int64_t>(row + 1), m_rows[row]});
                } else {
                    cells.push_back(
                        {tree[height - 1].first_number + static_cast<std::int64_t>(i), level.cells[i].bounds});
                    writer.add_parent(cells.back().id, number);
                }
            }
            writer.add_node(number, height, cells);
        }
    }
    m_rows = SpillArray<Bounds>(m_scratch);
    writer.add_rows(leaf_of);
}

}  // namespace eaveshed
