#include "tier_tree.hpp"

#include <algorithm>
#include <limits>
#include <numeric>

namespace eaveshed {

namespace {

constexpr std::uint32_t kLeafPoints = 12;

std::size_t nodes_for(std::size_t points) {
    std::size_t leaves = 1;
    while (leaves * kLeafPoints < points) {
        leaves *= 2;
    }
    return 2 * leaves - 1;
}

}  // namespace

TierTree::TierTree(std::span<const double> values, std::size_t criteria)
    : m_values(values),
      m_criteria(criteria),
      m_points(values.size() / criteria),
      m_place(m_points.size()),
      m_tiers(m_points.size(), 0),
      m_rows(values.size()),
      m_nodes(nodes_for(m_points.size())),
      m_low(m_nodes.size() * criteria, std::numeric_limits<double>::infinity()),
      m_high(m_nodes.size() * criteria, -std::numeric_limits<double>::infinity()) {
    std::iota(m_points.begin(), m_points.end(), 0U);
    build(0, 0, static_cast<std::uint32_t>(m_points.size()), 0);
    for (std::uint32_t place = 0; place < m_points.size(); ++place) {
        m_place[m_points[place]] = place;
        std::copy_n(row(m_points[place]), m_criteria, m_rows.begin() + static_cast<std::ptrdiff_t>(place * m_criteria));
    }
}

// Halves at the middle, one criterion after the other; ties by number, so that the tree is the same everywhere.
void TierTree::build(std::size_t node, std::uint32_t begin, std::uint32_t end, std::size_t depth) {
    m_nodes[node] = {.begin = begin, .end = end, .tier = 0, .leaf = 2 * node + 2 >= m_nodes.size()};
    if (m_nodes[node].leaf) {
        return;
    }
    const std::size_t criterion = depth % m_criteria;
    const std::uint32_t middle = begin + (end - begin) / 2;
    const auto at = [this](std::uint32_t place) { return m_points.begin() + place; };
    std::nth_element(at(begin), at(middle), at(end), [&](std::uint32_t a, std::uint32_t b) {
        const double x = row(a)[criterion];
        const double y = row(b)[criterion];
        return x != y ? x < y : a < b;
    });
    build(2 * node + 1, begin, middle, depth + 1);
    build(2 * node + 2, middle, end, depth + 1);
}

void TierTree::put(std::uint32_t point, std::int32_t tier) {
    const std::uint32_t place = m_place[point];
    m_tiers[place] = tier;
    std::size_t node = 0;
    while (true) {
        m_nodes[node].tier = std::max(m_nodes[node].tier, tier);
        for (std::size_t i = 0; i < m_criteria; ++i) {
            const double value = row(point)[i];
            m_low[node * m_criteria + i] = std::min(m_low[node * m_criteria + i], value);
            m_high[node * m_criteria + i] = std::max(m_high[node * m_criteria + i], value);
        }
        if (m_nodes[node].leaf) {
            return;
        }
        node = 2 * node + (place < m_nodes[2 * node + 2].begin ? 1U : 2U);
    }
}

bool TierTree::reaches(std::size_t node, const double* wanted) const {
    const double* high = m_high.data() + node * m_criteria;
    for (std::size_t i = 0; i < m_criteria; ++i) {
        if (high[i] < wanted[i]) {
            return false;
        }
    }
    return true;
}

bool TierTree::lies_above(std::size_t node, const double* wanted) const {
    const double* low = m_low.data() + node * m_criteria;
    for (std::size_t i = 0; i < m_criteria; ++i) {
        if (low[i] < wanted[i]) {
            return false;
        }
    }
    return true;
}

void TierTree::search_leaf(const Node& leaf, const double* wanted, std::int32_t& best) const {
    for (std::uint32_t place = leaf.begin; place < leaf.end; ++place) {
        if (m_tiers[place] <= best) {
            continue;
        }
        const double* values = m_rows.data() + place * m_criteria;
        bool above = true;
        for (std::size_t i = 0; i < m_criteria && above; ++i) {
            above = values[i] >= wanted[i];
        }
        if (above) {
            best = m_tiers[place];
        }
    }
}

// The half with the greater tier first: what it finds often spares the other.
void TierTree::search(std::size_t node, const double* wanted, std::int32_t& best) const {
    const Node& here = m_nodes[node];
    if (here.tier <= best || !reaches(node, wanted)) {
        return;
    }
    if (lies_above(node, wanted)) {
        best = here.tier;
        return;
    }
    if (here.leaf) {
        search_leaf(here, wanted, best);
        return;
    }
    const std::size_t left = 2 * node + 1;
    const std::size_t right = left + 1;
    const bool right_first = m_nodes[right].tier >= m_nodes[left].tier;
    search(right_first ? right : left, wanted, best);
    search(right_first ? left : right, wanted, best);
}

std::int32_t TierTree::greatest_tier_above(std::uint32_t point) const {
    std::int32_t best = 0;
    search(0, row(point), best);
    return best;
}

}  // namespace eaveshed
