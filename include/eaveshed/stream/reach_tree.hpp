// Which reach flows into which, and what follows from it: the order of computation, Strahler's order, what comes
// together downstream. Reaches are numbered from 0 in the order of the input; every figure depends on those numbers
// and on nothing that a thread or a tile decides.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace eaveshed {

inline constexpr std::uint32_t kNoReach = 0xFFFFFFFFU;

// Immutable after construction; safe to read from several threads. 24 bytes a reach and more.
class ReachTree {
public:
    ReachTree() = default;
    // The reach that each flows into, kNoReach at an outlet. Each has one at most, so that what flows is counted once.
    // A number out of range or a loop is an internal error: given lines are freed of loops before (given_lines.hpp).
    explicit ReachTree(std::vector<std::uint32_t> next);

    [[nodiscard]] std::size_t size() const { return m_next.size(); }
    [[nodiscard]] std::uint32_t next(std::size_t reach) const { return m_next[reach]; }
    // Every reach after all that flow into it: heads in ascending order, then each as soon as its last inflow stands.
    [[nodiscard]] const std::vector<std::uint32_t>& upstream_first() const { return m_order; }
    // The reaches that flow straight into one, ascending.
    [[nodiscard]] std::span<const std::uint32_t> inflows(std::size_t reach) const {
        return {m_inflows.data() + m_first[reach], m_first[reach + 1] - m_first[reach]};
    }
    // Strahler 1957 (Quantitative analysis of watershed geomorphology, Transactions AGU 38): a head is 1; where two or
    // more of the highest order meet, one more than theirs; else the highest.
    [[nodiscard]] int strahler(std::size_t reach) const { return m_strahler[reach]; }
    [[nodiscard]] std::vector<std::uint32_t> outlets() const;  // ascending
    // All reaches whose water comes through one, itself included; ascending. Costs as much as it gives.
    [[nodiscard]] std::vector<std::uint32_t> upstream_of(std::uint32_t reach) const;
    // The outlet that a reach's water leaves by.
    [[nodiscard]] std::uint32_t outlet_of(std::uint32_t reach) const { return m_outlet.at(reach); }
    // Local values with all that stands upstream: total = local + the totals of the inflows, added in ascending order
    // of their numbers, so that the bits do not depend on who came first. One value a reach, any unit that adds.
    // method.md 7.15.
    [[nodiscard]] std::vector<double> accumulated(std::span<const double> local) const;

private:
    void order_reaches();
    void number_orders();
    void find_outlets();

    std::vector<std::uint32_t> m_next;
    std::vector<std::uint32_t> m_first;    // size() + 1 places in m_inflows
    std::vector<std::uint32_t> m_inflows;  // by the reach that they flow into
    std::vector<std::uint32_t> m_order;
    std::vector<std::uint32_t> m_outlet;
    std::vector<int> m_strahler;
};

// What one offer leaves in a reach.
struct ReachGain {
    std::uint32_t reach = kNoReach;  // kNoReach: enters none and is left out
    double gain_lps = 0.0;
};

// The sum of the offers that enter each reach, added in the order in which they are given: hand them over in input
// order and the bits are the same whatever computed them. A reach number that is not there is an internal error.
// method.md 7.15.
[[nodiscard]] std::vector<double> local_gains_lps(std::size_t reaches, std::span<const ReachGain> offers);

// The accumulated gain over the reach's low flow, both L/s; none where the low flow is not known or not above 0.
// method.md 7.15.
[[nodiscard]] std::optional<double> share_of_low_flow(double gain_total_lps, std::optional<double> low_flow_lps);

}  // namespace eaveshed
