// The exact search for the best choice of a knapsack's items.
//
// Dynamic programming outwards from the break item, with the bound of the linear relaxation (Pisinger 1997, A minimal
// algorithm for the 0-1 knapsack problem). Items stand by falling profit a unit of weight. The break choice takes all
// items before the first that no longer fits. Better choices differ from it in a few items near that place, so the
// search flips these first: the next one to the right is added, the next one to the left taken out, in turn. A partial
// choice is dropped when another one weighs no more and earns no less, or when the linear relaxation of what is left
// shows that nothing better than the best choice so far can come of it.
#pragma once

#include <cstddef>
#include <cstdint>
#include <limits>
#include <span>
#include <vector>

#include "first_choice.hpp"
#include "knapsack.hpp"

namespace eaveshed {

class CoreSearch {
public:
    // `items` by falling riches, each of which fits but not all together; kept by reference. `first`: any choice within
    // the capacity that is at least as good as the break choice.
    CoreSearch(std::span<const KnapsackItem> items, std::int64_t capacity, const KnapsackLimits& limits,
               FirstChoice first);

    void run();
    [[nodiscard]] KnapsackResult result() const;

private:
    static constexpr std::uint32_t kNoStep = std::numeric_limits<std::uint32_t>::max();

    // A partial choice: the break choice with some items flipped. Its weight may exceed the capacity as long as items
    // to the left can still be taken out.
    struct State {
        std::int64_t weight = 0;
        std::int64_t profit = 0;
        std::uint32_t step = kNoStep;  // the last flip on the way to it
    };
    struct Step {
        std::uint32_t before = kNoStep;
        std::uint32_t item = 0;
    };
    // Rates at which further items add profit at best, and give up profit at least. Without items to the right nothing
    // can be added; without items to the left no weight can be saved.
    struct Rates {
        KnapsackItem add{1, 0};
        KnapsackItem remove{0, 1};

        // Whether some choice that grows from the state could have the profit at no more than the weight.
        [[nodiscard]] bool may_reach(const State& state, std::int64_t profit, std::int64_t weight) const;
        // The most profit of a choice within the capacity that could grow from a state that is within it or has items
        // to take out.
        [[nodiscard]] std::int64_t most_profit(const State& state, std::int64_t capacity) const;
    };

    [[nodiscard]] Rates rates() const;
    [[nodiscard]] bool is_best(const State& state) const;
    [[nodiscard]] bool promises_more(const State& state, const Rates& rates) const;
    [[nodiscard]] bool visit(std::size_t item, int sign);
    void flip(std::size_t item, int sign);
    void keep(State state, bool flipped, std::size_t item, const Rates& rates);

    std::span<const KnapsackItem> m_items;
    std::int64_t m_capacity;
    KnapsackLimits m_limits;
    FirstChoice m_first;
    std::size_t m_break = 0;
    State m_break_state;
    Rates m_break_rates;
    State m_best;  // the first choice, or a flipped one that beats it
    bool m_first_is_best = true;
    std::size_t m_left = 0;  // items [m_left, m_right) are decided
    std::size_t m_right = 0;
    std::vector<State> m_states;  // by rising weight and profit
    std::vector<State> m_next;
    std::vector<Step> m_trail;
    std::uint64_t m_visits = 0;
    bool m_cut_short = false;
};

}  // namespace eaveshed
