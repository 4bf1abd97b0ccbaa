#include "eaveshed/flow/fill.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <memory_resource>
#include <vector>

#include "eaveshed/core/error.hpp"
#include "neighbours.hpp"
#include "radix_heap.hpp"

namespace eaveshed {

namespace {

// A cell that the flood has reached, at its final height. Cells are counted in the grid with its rim.
template <typename Number>
struct Reached {
    Number height;
    CellNumber cell;
};

// A stack with room made before it is filled, so that filling needs no branch.
template <typename Item>
class Stack {
public:
    explicit Stack(std::pmr::memory_resource* memory) : m_items(memory) {}

    [[nodiscard]] bool empty() const { return m_size == 0; }
    Item pop() { return m_items[--m_size]; }
    void make_room(std::size_t more) {
        if (m_size + more > m_items.size()) {
            m_items.resize(2 * m_items.size() + more);
        }
    }
    // Into room made before; it stays only where `keep` is true.
    void push_if(bool keep, const Item& item) {
        m_items[m_size] = item;
        m_size += keep ? 1 : 0;
    }

private:
    std::pmr::vector<Item> m_items;
    std::size_t m_size = 0;
};

template <typename Number>
class Flood {
public:
    explicit Flood(Surface<Number>& surface)
        : m_rows(surface.grid.rows),
          m_cols(surface.grid.cols),
          m_elev_m(surface.elev_m),
          m_memory(surface.elev_m.get_allocator().resource()),
          m_width(m_cols + 2) {
        if (m_elev_m.size() != Neighbours(surface.grid).cells()) {
            internal_error("a surface whose elevations do not fit its grid");
        }
        for (std::size_t way = 0; way < kWays.size(); ++way) {
            m_offsets[way] = kWays[way].row * m_width + kWays[way].col;
        }
    }

    Filled run() {
        lay_out();
        begin_at_outlets();
        climb();
        while (!m_waiting.empty()) {
            const auto next = m_waiting.pop([&](CellNumber cell) { fetch_around(cell); });
            flood_from({height_of(next.key), next.cell});
            climb();
        }
        return m_filled;
    }

private:
    using Cell = Reached<Number>;
    static constexpr Number kNone = std::numeric_limits<Number>::quiet_NaN();

    [[nodiscard]] Number& open_at(std::size_t cell, std::size_t way) {
        return m_open[static_cast<std::size_t>(static_cast<std::ptrdiff_t>(cell) + m_offsets[way])];
    }
    [[nodiscard]] CellNumber neighbour(std::size_t cell, std::size_t way) const {
        return static_cast<CellNumber>(static_cast<std::ptrdiff_t>(cell) + m_offsets[way]);
    }

    void fetch_around(CellNumber cell) const {
        const Number* const here = m_open.data() + cell;
        __builtin_prefetch(here - m_width, 1);
        __builtin_prefetch(here, 1);
        __builtin_prefetch(here + m_width, 1);
    }

    void lay_out() {
        m_open.assign(static_cast<std::size_t>((m_rows + 2) * m_width), kNone);
        auto from = m_elev_m.begin();
        for (std::int64_t row = 0; row < m_rows; ++row) {
            Number* const to = m_open.data() + (row + 1) * m_width + 1;
            for (std::int64_t col = 0; col < m_cols; ++col, ++from) {
                *from = std::isfinite(*from) ? *from : kNone;
                to[col] = *from;
            }
        }
    }

    // Water leaves the outlets at their own height: the cells beside the rim and beside gaps.
    void begin_at_outlets() {
        std::pmr::vector<CellNumber> outlets(m_memory);
        for (std::int64_t row = 1; row <= m_rows; ++row) {
            for (std::int64_t col = 1; col <= m_cols; ++col) {
                const auto cell = static_cast<std::size_t>(row * m_width + col);
                if (std::isnan(m_open[cell])) {
                    continue;
                }
                bool outlet = false;
                for (std::size_t way = 0; way < kWays.size(); ++way) {
                    outlet |= std::isnan(open_at(cell, way));
                }
                if (outlet) {
                    outlets.push_back(static_cast<CellNumber>(cell));
                }
            }
        }
        m_rising.make_room(outlets.size());
        for (const CellNumber cell : outlets) {
            m_rising.push_if(true, {m_open[cell], cell});
            m_open[cell] = kNone;
        }
    }

    // From ground at its final height whatever is as high or higher has a way down. What is lower and cannot be reached
    // so from anywhere lies in a depression: the cells around it wait for the flood to rise to them.
    void climb() {
        while (!m_rising.empty()) {
            const Cell from = m_rising.pop();
            m_rising.make_room(kWays.size());
            m_above.make_room(1);
            bool above = false;
            for (std::size_t way = 0; way < kWays.size(); ++way) {
                Number& open = open_at(from.cell, way);
                const Number height = open;  // NaN: reached before, or no ground
                const bool rises = height >= from.height;
                above |= height < from.height;
                m_rising.push_if(rises, {height, neighbour(from.cell, way)});
                open = rises ? kNone : height;
            }
            m_above.push_if(above, from);
        }
        while (!m_above.empty()) {
            const Cell from = m_above.pop();
            bool still = false;
            for (std::size_t way = 0; way < kWays.size(); ++way) {
                still |= !std::isnan(open_at(from.cell, way));
            }
            if (still) {
                m_waiting.push(height_key(from.height), from.cell);
            }
        }
    }

    // The flood stands at this height: what is no higher around the cell is under water, and so on; what is higher
    // drains to it.
    void flood_from(Cell cell) {
        const Number level = cell.height;
        m_flooded.push_back(cell.cell);
        while (!m_flooded.empty()) {
            const CellNumber from = m_flooded.back();
            m_flooded.pop_back();
            m_rising.make_room(kWays.size());
            for (std::size_t way = 0; way < kWays.size(); ++way) {
                Number& open = open_at(from, way);
                const Number height = open;
                m_rising.push_if(height > level, {height, neighbour(from, way)});
                if (height <= level) {
                    raise(neighbour(from, way), height, level);
                    m_flooded.push_back(neighbour(from, way));
                }
                open = kNone;
            }
        }
    }

    void raise(CellNumber cell, Number height, Number level) {
        if (height < level) {
            ++m_filled.raised_cells;
            m_filled.most_raised_m = std::max(m_filled.most_raised_m, double{level} - double{height});
            const std::int64_t row = cell / m_width - 1;
            const std::int64_t col = cell % m_width - 1;
            m_elev_m[static_cast<std::size_t>(row * m_cols + col)] = level;
        }
    }

    std::int64_t m_rows;
    std::int64_t m_cols;
    std::pmr::vector<Number>& m_elev_m;
    std::pmr::memory_resource* m_memory;
    std::int64_t m_width;  // of the grid with a rim of one cell
    std::array<std::ptrdiff_t, 8> m_offsets{};
    std::pmr::vector<Number> m_open{m_memory};  // the ground not reached yet, with a rim; NaN elsewhere
    RadixHeap<decltype(height_key(Number{}))> m_waiting{m_memory};
    std::pmr::vector<CellNumber> m_flooded{m_memory};
    Stack<Cell> m_rising{m_memory};
    Stack<Cell> m_above{m_memory};  // had lower ground beside them that nothing had reached yet
    Filled m_filled;
};

}  // namespace

template <typename Number>
Filled fill_depressions(Surface<Number>& surface) {
    return Flood<Number>(surface).run();
}

template Filled fill_depressions(Surface<float>& surface);
template Filled fill_depressions(Surface<double>& surface);

}  // namespace eaveshed
