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
    std::vector<Entry> cells;
    std::vector<std::size_t> ends;
    std::int64_t first_number = 0;  // of its nodes
};

// A node as its bytes.
std::vector<unsigned char> PackedIndex::packed(std::span<const Entry> cells, std::size_t height,
                                               std::size_t node_bytes) {
    std::vector<unsigned char> bytes(node_bytes, 0);
    std::size_t at = 0;
    put(static_cast<std::uint16_t>(height), at, bytes);
    put(static_cast<std::uint16_t>(cells.size()), at, bytes);
    for (const Entry& cell : cells) {
        put(static_cast<std::uint64_t>(cell.id), at, bytes);
        for (const float value : {cell.x_min, cell.x_max, cell.y_min, cell.y_max}) {
            put(std::bit_cast<std::uint32_t>(value), at, bytes);
        }
    }
    return bytes;
}

void PackedIndex::add(std::int64_t row_id, const Box& box) {
    if (!box.empty()) {
        m_entries.push_back(
            {row_id, rounded_down(box.x_min), rounded_up(box.x_max), rounded_down(box.y_min), rounded_up(box.y_max)});
    }
}

void PackedIndex::order() {
    Box extent;
    for (const Entry& entry : m_entries) {
        extent.add(Point{entry.x_min, entry.y_min});
        extent.add(Point{entry.x_max, entry.y_max});
    }
    const auto step = [](double value, double low, double high) {
        constexpr double kSteps = 65535.0;
        return high > low ? static_cast<std::uint32_t>((value - low) / (high - low) * kSteps) : 0U;
    };
    // The place along the curve in the upper half, the entry in the lower: equal places keep their order.
    std::vector<std::uint64_t> keys;
    keys.reserve(m_entries.size());
    for (const Entry& entry : m_entries) {
        const double x = 0.5 * (double{entry.x_min} + double{entry.x_max});
        const double y = 0.5 * (double{entry.y_min} + double{entry.y_max});
        const std::uint64_t place =
            hilbert_place(step(x, extent.x_min, extent.x_max), step(y, extent.y_min, extent.y_max));
        keys.push_back(place << 32U | keys.size());
    }
    std::ranges::sort(keys);
    std::vector<Entry> ordered;
    ordered.reserve(keys.size());
    for (const std::uint64_t key : keys) {
        ordered.push_back(m_entries[key & 0xFFFFFFFFU]);
    }
    m_entries = std::move(ordered);
}

// The box around the cells [begin, end).
PackedIndex::Entry PackedIndex::around(std::span<const Entry> cells) {
    Entry whole = cells.front();
    for (const Entry& cell : cells) {
        whole = {0, std::min(whole.x_min, cell.x_min), std::max(whole.x_max, cell.x_max),
                 std::min(whole.y_min, cell.y_min), std::max(whole.y_max, cell.y_max)};
    }
    return whole;
}

// From the leaves up to the root, the last level. A level's cells are spread evenly over its nodes, so that none is
// nearly empty.
std::vector<PackedIndex::Level> PackedIndex::levels(std::vector<Entry> leaves, std::size_t most_cells) {
    std::vector<Level> levels(1);
    levels.back().cells = std::move(leaves);
    for (;;) {
        Level& level = levels.back();
        const std::size_t count = level.cells.size();
        const std::size_t nodes = (count + most_cells - 1) / most_cells;
        Level above;
        for (std::size_t node = 0; node < nodes; ++node) {
            const std::size_t begin = node * count / nodes;
            level.ends.push_back((node + 1) * count / nodes);
            above.cells.push_back(around(std::span(level.cells).subspan(begin, level.ends.back() - begin)));
        }
        if (nodes == 1) {
            break;
        }
        levels.push_back(std::move(above));
    }
    std::int64_t next = kRoot;
    for (auto level = levels.rbegin(); level != levels.rend(); ++level) {
        level->first_number = next;
        next += static_cast<std::int64_t>(level->ends.size());
    }
    return levels;
}

void PackedIndex::write(Database& database, const std::string& table) {
    if (m_entries.empty()) {
        return;
    }
    const auto part = [&](const char* name) { return quoted_identifier(table + name); };
    Statement root(database, "SELECT length(data) FROM " + part("_node") + " WHERE nodeno = 1");
    if (!root.step()) {
        internal_error("a spatial index without a root");
    }
    const auto node_bytes = static_cast<std::size_t>(root.integer(0));
    root.reset();
    Statement add_node(database, "INSERT OR REPLACE INTO " + part("_node") + " (nodeno, data) VALUES (?, ?)");
    Statement add_parent(database, "INSERT INTO " + part("_parent") + " (nodeno, parentnode) VALUES (?, ?)");
    Statement add_row(database, "INSERT INTO " + part("_rowid") + " (rowid, nodeno) VALUES (?, ?)");
    if (m_entries.size() > std::numeric_limits<std::uint32_t>::max()) {
        internal_error("more rows than a packed index counts");
    }
    order();
    const std::size_t rows = m_entries.size();
    const std::vector<Level> tree = levels(std::exchange(m_entries, {}), (node_bytes - kNodeHead) / kCellBytes);
    std::vector<std::pair<std::int64_t, std::uint32_t>> leaf_of;
    leaf_of.reserve(rows);
    for (std::size_t height = tree.size(); height-- > 0;) {
        const Level& level = tree[height];
        std::size_t begin = 0;
        for (std::size_t node = 0; node < level.ends.size(); begin = level.ends[node++]) {
            const std::int64_t number = level.first_number + static_cast<std::int64_t>(node);
            const std::int64_t child = height > 0 ? tree[height - 1].first_number : 0;
            std::vector<Entry> cells(level.cells.begin() + static_cast<std::ptrdiff_t>(begin),
                                     level.cells.begin() + static_cast<std::ptrdiff_t>(level.ends[node]));
            for (std::size_t i = 0; i < cells.size(); ++i) {
                if (height == 0) {
                    leaf_of.emplace_back(cells[i].id, static_cast<std::uint32_t>(number));
                } else {
                    cells[i].id = child + static_cast<std::int64_t>(begin + i);
                    run_with(add_parent, cells[i].id, number);
                }
            }
            const std::vector<unsigned char> bytes = packed(cells, number == kRoot ? height : 0, node_bytes);
            add_node.bind(1, number);
            add_node.bind_blob(2, bytes);
            add_node.run();
        }
    }
    std::ranges::sort(leaf_of);
    for (const auto& [id, number] : leaf_of) {
        run_with(add_row, id, std::int64_t{number});
    }
}

}  // namespace eaveshed
