#include "eaveshed/shape/segment.hpp"

#include <algorithm>
#include <array>
#include <cstddef>

namespace eaveshed {

namespace {

// A sum of doubles without any rounding: non-overlapping parts in order of growing size (Shewchuk 1997,
// GROW-EXPANSION).
class ExactSum {
public:
    void add(double term) {
        double rest = term;
        for (std::size_t i = 0; i < m_size; ++i) {
            const double sum = rest + m_parts[i];
            const double taken = sum - rest;
            m_parts[i] = (rest - (sum - taken)) + (m_parts[i] - taken);  // what the rounded sum lost
            rest = sum;
        }
        m_parts[m_size++] = rest;
    }
    void add_product(double a, double b) {
        const double product = a * b;
        add(std::fma(a, b, -product));
        add(product);
    }
    // The largest part decides.
    [[nodiscard]] int sign() const {
        for (std::size_t i = m_size; i-- > 0;) {
            if (m_parts[i] != 0.0) {
                return m_parts[i] > 0.0 ? 1 : -1;
            }
        }
        return 0;
    }

private:
    std::array<double, 12> m_parts{};
    std::size_t m_size = 0;
};

}  // namespace

Side exact_side_of(const Segment& edge, Point point) {
    // (from - point) x (to - point), multiplied out so that no difference is rounded.
    ExactSum sum;
    sum.add_product(edge.from.x, edge.to.y);
    sum.add_product(-edge.from.x, point.y);
    sum.add_product(-point.x, edge.to.y);
    sum.add_product(-edge.from.y, edge.to.x);
    sum.add_product(edge.from.y, point.x);
    sum.add_product(point.y, edge.to.x);
    return static_cast<Side>(sum.sign());
}

void RayCount::add(const Segment& edge) {
    const Point a = edge.from;
    const Point b = edge.to;
    const bool above_a = a.y > m_point.y;
    const bool above_b = b.y > m_point.y;
    if (above_a == above_b) {
        // Not crossed. An end on the point's height may still touch it: an upper end, or both ends of a level edge.
        if (a.y == m_point.y && b.y == m_point.y) {
            m_on_edge = m_on_edge || (std::min(a.x, b.x) <= m_point.x && m_point.x <= std::max(a.x, b.x));
        } else {
            m_on_edge = m_on_edge || a == m_point || b == m_point;
        }
        return;
    }
    if (std::max(a.x, b.x) < m_point.x) {
        return;
    }
    if (std::min(a.x, b.x) > m_point.x) {
        m_odd = !m_odd;
        return;
    }
    const Side side = side_of(edge, m_point);
    if (side == Side::on) {
        m_on_edge = true;
    } else if ((side == Side::left) == above_b) {  // a rising edge has its left side towards -x
        m_odd = !m_odd;
    }
}

}  // namespace eaveshed
