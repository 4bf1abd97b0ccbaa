#include "eaveshed/flow/fill.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <type_traits>

#include "eaveshed/core/error.hpp"
#include "neighbours.hpp"
#include "radix_heap.hpp"

namespace eaveshed {

namespace {

template <typename Number>
class Flood {
public:
    explicit Flood(Surface<Number>& surface) : m_around(surface.grid), m_elev_m(surface.elev_m) {
        if (m_elev_m.size() != m_around.cells()) {
            internal_error("a surface whose elevations do not fit its grid");
        }
        m_state.assign(m_elev_m.size(), 0);
    }

    Filled run() {
        mark_edge_and_gaps();
        seed();
        while (!m_waiting.empty()) {
            spread_from(m_waiting.pop());
        }
        return m_filled;
    }

private:
    using Key = std::conditional_t<std::is_same_v<Number, float>, std::uint32_t, std::uint64_t>;
    static constexpr std::uint8_t kReached = 1;
    static constexpr std::uint8_t kEdge = 2;

    void mark_edge_and_gaps() {
        const std::size_t cols = static_cast<std::size_t>(m_around.cols());
        for (std::size_t i = 0; i < m_elev_m.size(); ++i) {
            if (!std::isfinite(m_elev_m[i])) {
                m_elev_m[i] = std::numeric_limits<Number>::quiet_NaN();
                m_state[i] = kReached;
            }
        }
        for (std::size_t col = 0; col < cols; ++col) {
            m_state[col] |= kEdge;
            m_state[m_state.size() - 1 - col] |= kEdge;
        }
        for (std::size_t i = 0; i < m_state.size(); i += cols) {
            m_state[i] |= kEdge;
            m_state[i + cols - 1] |= kEdge;
        }
    }

    // The outlets wait at their own height.
    void seed() {
        for (std::size_t i = 0; i < m_state.size(); ++i) {
            if (std::isnan(m_elev_m[i])) {
                visit(i, [&](std::size_t near) { await_outlet(near); });
            } else if ((m_state[i] & kEdge) != 0) {
                await_outlet(i);
            }
        }
    }

    void await_outlet(std::size_t cell) {
        if ((m_state[cell] & kReached) == 0) {
            m_state[cell] |= kReached;
            wait(cell);
        }
    }

    void wait(std::size_t cell) { m_waiting.push(height_key(m_elev_m[cell]), static_cast<CellNumber>(cell)); }

    template <typename Each>
    void visit(std::size_t cell, Each&& each) {
        if ((m_state[cell] & kEdge) == 0) {
            m_around.visit_inner(cell, [&](std::size_t near, std::size_t) { each(near); });
        } else {
            m_around.visit(cell, [&](std::size_t near, std::size_t) { each(near); });
        }
    }

    // The flood stands at this cell's height: what is no higher around it is under water, and so on; what is higher
    // drains to it.
    void spread_from(std::size_t cell) {
        const Number level = m_elev_m[cell];
        flood_around(cell, level);
        while (!m_flooded.empty()) {
            const std::size_t next = m_flooded.back();
            m_flooded.pop_back();
            flood_around(next, level);
        }
        while (!m_rising.empty()) {
            const std::size_t next = m_rising.back();
            m_rising.pop_back();
            climb_from(next);
        }
    }

    void flood_around(std::size_t cell, Number level) {
        visit(cell, [&](std::size_t near) {
            if ((m_state[near] & kReached) != 0) {
                return;
            }
            m_state[near] |= kReached;
            if (m_elev_m[near] > level) {
                m_rising.push_back(static_cast<CellNumber>(near));
                return;
            }
            raise(near, level);
            m_flooded.push_back(static_cast<CellNumber>(near));
        });
    }

    void raise(std::size_t cell, Number level) {
        if (m_elev_m[cell] < level) {
            ++m_filled.raised_cells;
            m_filled.most_raised_m = std::max(m_filled.most_raised_m, double{level} - double{m_elev_m[cell]});
            m_elev_m[cell] = level;
        }
    }

    // From ground at its final height whatever is as high or higher has a way down. Beside lower ground the cell waits:
    // another way to there may be lower.
    void climb_from(std::size_t cell) {
        const Number height = m_elev_m[cell];
        bool lower = false;
        visit(cell, [&](std::size_t near) {
            if ((m_state[near] & kReached) != 0) {
                return;
            }
            if (m_elev_m[near] < height) {
                lower = true;
                return;
            }
            m_state[near] |= kReached;
            m_rising.push_back(static_cast<CellNumber>(near));
        });
        if (lower) {
            wait(cell);
        }
    }

    Neighbours m_around;
    std::vector<Number>& m_elev_m;
    std::vector<std::uint8_t> m_state;
    RadixHeap<Key> m_waiting;
    std::vector<CellNumber> m_flooded;
    std::vector<CellNumber> m_rising;
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
