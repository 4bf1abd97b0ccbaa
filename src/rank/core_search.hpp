// The exact search for the best choice of a multiple-choice knapsack.
//
// Dynamic programming outwards from the break group, with the bound of the linear relaxation (Pisinger 1995, A minimal
// algorithm for the multiple-choice knapsack problem). The break choice takes all upgrades before the first that no
// longer fits. Better choices differ from it in a few groups near that place, so the search opens these first: the
// group of the break, then in turn the one with the richest upgrade still to come and the one whose last upgrade was
// the poorest. A partial choice is dropped when another one weighs no more and earns no less, or when the linear
// relaxation of what is left shows that nothing better than the best choice so far can come of it.
#pragma once

#include <cstddef>
#include <cstdint>
#include <limits>
#include <span>
#include <vector>

#include "first_choice.hpp"
#include "knapsack.hpp"

namespace eaveshed {

// The first `fitting` of the upgrades fit together, the next one does not.
struct BrokenKnapsack {
    std::span<const KnapsackGroup> groups;
    std::span<const Upgrade> upgrades;
    std::size_t fitting = 0;
    std::int64_t capacity = 0;
};

class CoreSearch {
public:
    // What is named in `knapsack` outlives the search. `filled`: the break choice; `first`: any choice within the
    // capacity that is at least as good.
    CoreSearch(const BrokenKnapsack& knapsack, const KnapsackLimits& limits, Choice filled, Choice first);

    void run();
    [[nodiscard]] KnapsackResult result() const;

private:
    static constexpr std::uint32_t kNoStep = std::numeric_limits<std::uint32_t>::max();

    // A partial choice: the break choice with some groups at other levels. Its weight may exceed the capacity as long
    // as other groups can still go down.
    struct State {
        std::int64_t weight = 0;
        std::int64_t profit = 0;
        std::uint32_t step = kNoStep;  // the last change on the way to it
    };
    struct Step {
        std::uint32_t before = kNoStep;
        std::uint32_t group = 0;
        std::uint32_t level = 0;
    };
    // A group at another level than in the break choice.
    struct Change {
        std::uint32_t level = 0;
        KnapsackItem step;  // negative where the level is lower
    };
    // Rates at which groups that are not open add profit at best, and give up profit at least. Where none can go up
    // nothing can be added; where none can go down no weight can be saved.
    struct Rates {
        KnapsackItem add{1, 0};
        KnapsackItem remove{0, 1};

        // Whether some choice that grows from the state could have the profit at no more than the weight.
        [[nodiscard]] bool may_reach(const State& state, std::int64_t profit, std::int64_t weight) const;
        // The most profit of a choice within the capacity that could grow from a state that is within it or has groups
        // that can go down.
        [[nodiscard]] std::int64_t most_profit(const State& state, std::int64_t capacity) const;
    };

    // Past the upgrades of groups that are open.
    void skip_open();
    [[nodiscard]] bool any_left() const { return m_left > 0 || m_right < m_knapsack.upgrades.size(); }
    [[nodiscard]] Rates rates() const;
    [[nodiscard]] bool is_best(const State& state) const;
    [[nodiscard]] bool promises_more(const State& state, const Rates& rates) const;
    [[nodiscard]] std::vector<Change> promising_changes(std::uint32_t group) const;
    [[nodiscard]] bool open(std::uint32_t group);
    void branch(std::uint32_t group, const std::vector<Change>& changes);
    void keep(State state, std::uint32_t group, const Change* change, const Rates& rates);

    BrokenKnapsack m_knapsack;
    KnapsackLimits m_limits;
    Choice m_break;
    State m_break_state;
    Rates m_break_rates;
    Choice m_first;
    State m_best;  // the first choice, or one from the search that beats it
    bool m_first_is_best = true;
    std::vector<bool> m_open;  // by group
    std::size_t m_left = 0;    // upgrades before this one, and from m_right on, are of groups to be opened
    std::size_t m_right = 0;
    std::vector<State> m_states;  // by rising weight and profit
    std::vector<State> m_next;
    std::vector<Step> m_trail;
    std::uint64_t m_visits = 0;
    bool m_cut_short = false;
};

}  // namespace eaveshed
