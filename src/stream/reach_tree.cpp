#include "eaveshed/stream/reach_tree.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

ReachTree::ReachTree(std::vector<std::uint32_t> next) : m_next(std::move(next)) {
    m_first.assign(m_next.size() + 1, 0);
    for (const std::uint32_t to : m_next) {
        if (to == kNoReach) {
            continue;
        }
        if (to >= m_next.size()) {
            internal_error("a reach flows into one that is not there");
        }
        ++m_first[to + 1];
    }
    for (std::size_t i = 0; i < m_next.size(); ++i) {
        m_first[i + 1] += m_first[i];
    }
    m_inflows.resize(m_first.back());
    std::vector<std::uint32_t> place(m_first.begin(), m_first.end() - 1);
    for (std::uint32_t i = 0; i < m_next.size(); ++i) {
        if (m_next[i] != kNoReach) {
            m_inflows[place[m_next[i]]++] = i;
        }
    }
    order_reaches();
    number_orders();
    find_outlets();
}

void ReachTree::order_reaches() {
    std::vector<std::uint32_t> waiting(size());
    m_order.reserve(size());
    for (std::uint32_t i = 0; i < size(); ++i) {
        waiting[i] = static_cast<std::uint32_t>(inflows(i).size());
        if (waiting[i] == 0) {
            m_order.push_back(i);
        }
    }
    for (std::size_t done = 0; done < m_order.size(); ++done) {
        const std::uint32_t to = m_next[m_order[done]];
        if (to != kNoReach && --waiting[to] == 0) {
            m_order.push_back(to);
        }
    }
    if (m_order.size() != size()) {
        internal_error("reaches that flow in a loop");
    }
}

void ReachTree::number_orders() {
    m_strahler.assign(size(), 1);
    for (const std::uint32_t reach : m_order) {
        int highest = 0;
        bool twice = false;
        for (const std::uint32_t inflow : inflows(reach)) {
            twice = m_strahler[inflow] == highest || (twice && m_strahler[inflow] < highest);
            highest = std::max(highest, m_strahler[inflow]);
        }
        m_strahler[reach] = highest == 0 ? 1 : highest + (twice ? 1 : 0);
    }
}

void ReachTree::find_outlets() {
    m_outlet.resize(size());
    for (auto reach = m_order.rbegin(); reach != m_order.rend(); ++reach) {
        m_outlet[*reach] = m_next[*reach] == kNoReach ? *reach : m_outlet[m_next[*reach]];
    }
}

std::vector<std::uint32_t> ReachTree::outlets() const {
    std::vector<std::uint32_t> found;
    for (std::uint32_t i = 0; i < size(); ++i) {
        if (m_next[i] == kNoReach) {
            found.push_back(i);
        }
    }
    return found;
}

std::vector<std::uint32_t> ReachTree::upstream_of(std::uint32_t reach) const {
    if (reach >= size()) {
        internal_error("what is upstream of a reach that is not there");
    }
    std::vector<std::uint32_t> found{reach};
    for (std::size_t done = 0; done < found.size(); ++done) {
        const auto above = inflows(found[done]);
        found.insert(found.end(), above.begin(), above.end());
    }
    std::ranges::sort(found);
    return found;
}

std::vector<double> ReachTree::accumulated(std::span<const double> local) const {
    if (local.size() != size()) {
        internal_error("values to accumulate that are not one a reach");
    }
    std::vector<double> total(local.begin(), local.end());
    for (const std::uint32_t reach : m_order) {
        for (const std::uint32_t inflow : inflows(reach)) {
            total[reach] += total[inflow];
        }
    }
    return total;
}

std::vector<double> local_gains_lps(std::size_t reaches, std::span<const ReachGain> offers) {
    std::vector<double> sums(reaches, 0.0);
    for (const ReachGain& offer : offers) {
        if (offer.reach == kNoReach) {
            continue;
        }
        if (offer.reach >= reaches) {
            internal_error("an offer enters a reach that is not there");
        }
        sums[offer.reach] += offer.gain_lps;
    }
    return sums;
}

std::optional<double> share_of_low_flow(double gain_total_lps, std::optional<double> low_flow_lps) {
    if (!low_flow_lps || !(*low_flow_lps > 0.0) || !std::isfinite(*low_flow_lps)) {
        return std::nullopt;
    }
    return gain_total_lps / *low_flow_lps;
}

}  // namespace eaveshed
