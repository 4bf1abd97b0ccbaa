// Dynamic programming outwards from the break item, with the bound of the linear relaxation (Pisinger 1997, A minimal
// algorithm for the 0-1 knapsack problem). Items stand by falling profit a unit of weight. The break choice takes all
// items before the first that no longer fits. Better choices differ from it in a few items near that place, so the
// search flips these first: the next one to the right is added, the next one to the left taken out, in turn. A partial
// choice is dropped when another one weighs no more and earns no less, or when the linear relaxation of what is left
// shows that nothing better than the best choice so far can come of it.
#include "knapsack.hpp"

#include <algorithm>
#include <limits>
#include <numeric>

namespace eaveshed {

namespace {

__extension__ using Wide = __int128;

Wide product(std::int64_t a, std::int64_t b) {
    return static_cast<Wide>(a) * b;
}

constexpr std::uint32_t kNoStep = std::numeric_limits<std::uint32_t>::max();

// A partial choice: the break choice with some items flipped. Weight may exceed the capacity as long as items to the
// left can still be taken out.
struct State {
    std::int64_t weight = 0;
    std::int64_t profit = 0;
    std::uint32_t step = kNoStep;  // the last flip on the way to it
};

struct Step {
    std::uint32_t before = kNoStep;
    std::uint32_t item = 0;
};

// Rates at which further items add profit at best, and give up profit at least. Without items to the right nothing can
// be added; without items to the left no weight can be saved.
struct Rates {
    KnapsackItem add{1, 0};
    KnapsackItem remove{0, 1};

    // Whether some choice that grows from the state could have the profit at no more than the weight.
    [[nodiscard]] bool may_reach(const State& state, std::int64_t profit, std::int64_t weight) const {
        const std::int64_t missing = profit - state.profit;
        const KnapsackItem& rate = missing > 0 ? add : remove;
        return product(missing, rate.weight) <= product(weight - state.weight, rate.profit);
    }
    // The most profit that a choice within the capacity could have that grows from the state.
    [[nodiscard]] std::int64_t most_profit(const State& state, std::int64_t capacity) const {
        const std::int64_t room = capacity - state.weight;
        if (room >= 0) {
            return state.profit + static_cast<std::int64_t>(product(room, add.profit) / add.weight);
        }
        const Wide lost = product(-room, remove.profit);
        return state.profit - static_cast<std::int64_t>((lost + remove.weight - 1) / remove.weight);
    }
};

class Search {
public:
    // `items` by falling riches, not all of which fit, and each of which does.
    Search(std::span<const KnapsackItem> items, std::int64_t capacity, const KnapsackLimits& limits);

    void run();
    [[nodiscard]] KnapsackResult result() const;

private:
    [[nodiscard]] bool is_best(const State& state) const;
    [[nodiscard]] bool promises_more(const State& state, const Rates& rates) const;
    [[nodiscard]] Rates rates() const;
    void take_greedily();
    void flip(std::size_t item, int sign);
    void keep(State state, bool flipped, std::size_t item, const Rates& rates);
    void visit(std::size_t item, int sign);

    std::span<const KnapsackItem> m_items;
    std::int64_t m_capacity;
    KnapsackLimits m_limits;
    std::size_t m_break = 0;
    Rates m_break_rates;
    State m_break_state;
    State m_best;
    std::vector<std::uint32_t> m_greedy;  // items that the first choice adds to the break choice
    bool m_best_is_greedy = true;
    std::size_t m_left = 0;  // items [m_left, m_right) are decided
    std::size_t m_right = 0;
    std::vector<State> m_states;  // by rising weight and profit
    std::vector<State> m_next;
    std::vector<Step> m_trail;
    std::uint64_t m_visits = 0;
    bool m_cut_short = false;
};

Search::Search(std::span<const KnapsackItem> items, std::int64_t capacity, const KnapsackLimits& limits)
    : m_items(items), m_capacity(capacity), m_limits(limits) {
    while (m_break_state.weight + items[m_break].weight <= capacity) {
        m_break_state.weight += items[m_break].weight;
        m_break_state.profit += items[m_break].profit;
        ++m_break;
    }
    m_left = m_right = m_break;
    m_break_rates = rates();
    m_states.push_back(m_break_state);
    take_greedily();
}

void Search::take_greedily() {
    m_best = m_break_state;
    for (std::size_t i = m_break; i < m_items.size(); ++i) {
        if (m_best.weight + m_items[i].weight <= m_capacity) {
            m_best.weight += m_items[i].weight;
            m_best.profit += m_items[i].profit;
            m_greedy.push_back(static_cast<std::uint32_t>(i));
        }
    }
}

bool Search::is_best(const State& state) const {
    return state.weight <= m_capacity &&
           (state.profit > m_best.profit || (state.profit == m_best.profit && state.weight < m_best.weight));
}

bool Search::promises_more(const State& state, const Rates& rates) const {
    return rates.may_reach(state, m_best.profit + 1, m_capacity) ||
           rates.may_reach(state, m_best.profit, m_best.weight - 1);
}

Rates Search::rates() const {
    Rates rates;
    if (m_right < m_items.size()) {
        rates.add = m_items[m_right];
    }
    if (m_left > 0) {
        rates.remove = m_items[m_left - 1];
    }
    return rates;
}

void Search::keep(State state, bool flipped, std::size_t item, const Rates& rates) {
    const bool best = flipped && is_best(state);
    if (!best && !promises_more(state, rates)) {
        return;
    }
    if (flipped) {
        m_trail.push_back({state.step, static_cast<std::uint32_t>(item)});
        state.step = static_cast<std::uint32_t>(m_trail.size() - 1);
    }
    if (best) {
        m_best = state;
        m_best_is_greedy = false;
    }
    m_next.push_back(state);
}

// Every state once as it is and once with the item flipped, merged by weight; what weighs no less than another and
// earns no more falls out.
void Search::flip(std::size_t item, int sign) {
    const std::int64_t weight = sign * m_items[item].weight;
    const std::int64_t profit = sign * m_items[item].profit;
    const Rates rates_left = rates();
    m_next.clear();
    std::int64_t most = std::numeric_limits<std::int64_t>::min();
    auto plain = m_states.cbegin();
    auto turned = m_states.cbegin();
    while (plain != m_states.cend() || turned != m_states.cend()) {
        const bool take_turned =
            plain == m_states.cend() ||
            (turned != m_states.cend() &&
             (turned->weight + weight < plain->weight ||
              (turned->weight + weight == plain->weight && turned->profit + profit > plain->profit)));
        State state = take_turned ? *turned++ : *plain++;
        if (take_turned) {
            state.weight += weight;
            state.profit += profit;
        }
        if (state.profit > most) {
            most = state.profit;
            keep(state, take_turned, item, rates_left);
        }
    }
    m_visits += 2 * m_states.size();
    m_states.swap(m_next);
}

// An item is left as the break choice has it when the linear relaxation shows that flipping it cannot lead to anything
// better: reduction by reduced costs.
void Search::visit(std::size_t item, int sign) {
    State flipped = m_break_state;
    flipped.weight += sign * m_items[item].weight;
    flipped.profit += sign * m_items[item].profit;
    if (!is_best(flipped) && !promises_more(flipped, m_break_rates)) {
        return;
    }
    if (m_visits + 2 * m_states.size() > m_limits.visits || m_trail.size() + m_states.size() > m_limits.trail) {
        m_cut_short = true;
        return;
    }
    flip(item, sign);
}

void Search::run() {
    while (!m_states.empty() && (m_left > 0 || m_right < m_items.size())) {
        // The bounds that a visit leaves behind hold for what lies beyond the item.
        const std::size_t left = m_left;
        const std::size_t right = m_right;
        if (m_right < m_items.size()) {
            ++m_right;
            visit(m_right - 1, 1);
            if (m_cut_short) {
                m_right = right;
                return;
            }
        }
        if (m_left > 0) {
            --m_left;
            visit(m_left, -1);
            if (m_cut_short) {
                m_left = left;
                return;
            }
        }
    }
}

KnapsackResult Search::result() const {
    KnapsackResult result{.taken = std::vector<bool>(m_items.size(), false),
                          .weight = m_best.weight,
                          .profit = m_best.profit,
                          .profit_bound = m_best.profit};
    std::fill_n(result.taken.begin(), m_break, true);
    if (m_best_is_greedy) {
        for (const std::uint32_t item : m_greedy) {
            result.taken[item] = true;
        }
    }
    for (std::uint32_t step = m_best.step; step != kNoStep; step = m_trail[step].before) {
        result.taken[m_trail[step].item] = !result.taken[m_trail[step].item];
    }
    if (m_cut_short) {
        for (const State& state : m_states) {
            if (state.weight <= m_capacity || m_left > 0) {
                result.profit_bound = std::max(result.profit_bound, rates().most_profit(state, m_capacity));
            }
        }
    }
    return result;
}

// Positions of the items that fit at all, by falling riches; equals by weight, then as given.
std::vector<std::size_t> richest_first(std::span<const KnapsackItem> items, std::int64_t capacity) {
    std::vector<std::size_t> order;
    for (std::size_t i = 0; i < items.size(); ++i) {
        if (items[i].weight <= capacity) {
            order.push_back(i);
        }
    }
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        if (is_richer(items[a], items[b]) || is_richer(items[b], items[a])) {
            return is_richer(items[a], items[b]);
        }
        return items[a].weight < items[b].weight;
    });
    return order;
}

}  // namespace

bool is_richer(const KnapsackItem& a, const KnapsackItem& b) {
    return product(a.profit, b.weight) > product(b.profit, a.weight);
}

KnapsackResult solve_knapsack(std::span<const KnapsackItem> items, std::int64_t capacity,
                              const KnapsackLimits& limits) {
    const std::vector<std::size_t> order = richest_first(items, capacity);
    std::vector<KnapsackItem> sorted;
    KnapsackResult all;
    for (const std::size_t i : order) {
        sorted.push_back(items[i]);
        all.weight += items[i].weight;
        all.profit += items[i].profit;
    }
    all.profit_bound = all.profit;
    all.taken.assign(sorted.size(), true);
    KnapsackResult found = all;
    if (all.weight > capacity) {
        Search search(sorted, capacity, limits);
        search.run();
        found = search.result();
    }
    KnapsackResult result = found;
    result.taken.assign(items.size(), false);
    for (std::size_t i = 0; i < order.size(); ++i) {
        result.taken[order[i]] = found.taken[i];
    }
    return result;
}

}  // namespace eaveshed
