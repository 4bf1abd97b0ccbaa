#include "core_search.hpp"

#include <algorithm>
#include <utility>

#include "wide.hpp"

namespace eaveshed {

bool CoreSearch::Rates::may_reach(const State& state, std::int64_t profit, std::int64_t weight) const {
    const std::int64_t missing = profit - state.profit;
    const KnapsackItem& rate = missing > 0 ? add : remove;
    return wide_product(missing, rate.weight) <= wide_product(weight - state.weight, rate.profit);
}

std::int64_t CoreSearch::Rates::most_profit(const State& state, std::int64_t capacity) const {
    const std::int64_t room = capacity - state.weight;
    if (room >= 0) {
        return state.profit + static_cast<std::int64_t>(wide_product(room, add.profit) / add.weight);
    }
    const Wide lost = wide_product(-room, remove.profit);
    return state.profit - static_cast<std::int64_t>((lost + remove.weight - 1) / remove.weight);
}

CoreSearch::CoreSearch(std::span<const KnapsackItem> items, std::int64_t capacity, const KnapsackLimits& limits,
                       FirstChoice first)
    : m_items(items), m_capacity(capacity), m_limits(limits), m_first(std::move(first)) {
    while (m_break_state.weight + items[m_break].weight <= capacity) {
        m_break_state.weight += items[m_break].weight;
        m_break_state.profit += items[m_break].profit;
        ++m_break;
    }
    m_left = m_right = m_break;
    m_break_rates = rates();
    m_states.push_back(m_break_state);
    m_best = {.weight = m_first.weight, .profit = m_first.profit};
}

CoreSearch::Rates CoreSearch::rates() const {
    Rates rates;
    if (m_right < m_items.size()) {
        rates.add = m_items[m_right];
    }
    if (m_left > 0) {
        rates.remove = m_items[m_left - 1];
    }
    return rates;
}

bool CoreSearch::is_best(const State& state) const {
    return state.weight <= m_capacity &&
           (state.profit > m_best.profit || (state.profit == m_best.profit && state.weight < m_best.weight));
}

bool CoreSearch::promises_more(const State& state, const Rates& rates) const {
    return rates.may_reach(state, m_best.profit + 1, m_capacity) ||
           rates.may_reach(state, m_best.profit, m_best.weight - 1);
}

void CoreSearch::keep(State state, bool flipped, std::size_t item, const Rates& rates) {
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
        m_first_is_best = false;
    }
    m_next.push_back(state);
}

// Every state once as it is and once with the item flipped, merged by weight; what weighs no less than another and
// earns no more falls out.
void CoreSearch::flip(std::size_t item, int sign) {
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
    m_states.swap(m_next);
}

// An item is left as the break choice has it when the linear relaxation shows that flipping it cannot lead to anything
// better: reduction by reduced costs. False when a limit forbids to go on.
bool CoreSearch::visit(std::size_t item, int sign) {
    State flipped = m_break_state;
    flipped.weight += sign * m_items[item].weight;
    flipped.profit += sign * m_items[item].profit;
    if (!is_best(flipped) && !promises_more(flipped, m_break_rates)) {
        return true;
    }
    m_visits += 2 * m_states.size();
    if (m_visits > m_limits.visits || m_trail.size() + m_states.size() > m_limits.trail) {
        return false;
    }
    flip(item, sign);
    return true;
}

void CoreSearch::run() {
    while (!m_states.empty() && (m_left > 0 || m_right < m_items.size())) {
        if (m_right < m_items.size()) {
            ++m_right;
            if (!visit(m_right - 1, 1)) {
                --m_right;  // undecided after all
                m_cut_short = true;
                return;
            }
        }
        if (m_left > 0) {
            --m_left;
            if (!visit(m_left, -1)) {
                ++m_left;
                m_cut_short = true;
                return;
            }
        }
    }
}

KnapsackResult CoreSearch::result() const {
    KnapsackResult result{
        .taken = m_first.taken, .weight = m_best.weight, .profit = m_best.profit, .profit_bound = m_best.profit};
    if (!m_first_is_best) {
        std::fill(result.taken.begin(), result.taken.end(), false);
        std::fill_n(result.taken.begin(), m_break, true);
        for (std::uint32_t step = m_best.step; step != kNoStep; step = m_trail[step].before) {
            result.taken[m_trail[step].item].flip();
        }
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

}  // namespace eaveshed
