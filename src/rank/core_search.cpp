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

CoreSearch::CoreSearch(const BrokenKnapsack& knapsack, const KnapsackLimits& limits, Choice filled, Choice first)
    : m_knapsack(knapsack),
      m_limits(limits),
      m_break(std::move(filled)),
      m_break_state{.weight = m_break.weight, .profit = m_break.profit},
      m_first(std::move(first)),
      m_best{.weight = m_first.weight, .profit = m_first.profit},
      m_open(knapsack.groups.size(), false),
      m_left(knapsack.fitting),
      m_right(knapsack.fitting),
      m_states{m_break_state} {
    m_break_rates = rates();
}

// The upgrades stand by falling riches, those of one group in the order of its levels. So the next one to the right of
// a group that is not open leads on from its level in the break choice, and the last one to the left led to it.
void CoreSearch::skip_open() {
    while (m_right < m_knapsack.upgrades.size() && m_open[m_knapsack.upgrades[m_right].group]) {
        ++m_right;
    }
    while (m_left > 0 && m_open[m_knapsack.upgrades[m_left - 1].group]) {
        --m_left;
    }
}

CoreSearch::Rates CoreSearch::rates() const {
    Rates rates;
    if (m_right < m_knapsack.upgrades.size()) {
        rates.add = m_knapsack.upgrades[m_right].step;
    }
    if (m_left > 0) {
        rates.remove = m_knapsack.upgrades[m_left - 1].step;
    }
    return rates;
}

bool CoreSearch::is_best(const State& state) const {
    return state.weight <= m_knapsack.capacity &&
           (state.profit > m_best.profit || (state.profit == m_best.profit && state.weight < m_best.weight));
}

bool CoreSearch::promises_more(const State& state, const Rates& rates) const {
    return rates.may_reach(state, m_best.profit + 1, m_knapsack.capacity) ||
           rates.may_reach(state, m_best.profit, m_best.weight - 1);
}

// A level is left out when the linear relaxation shows that the break choice with the group at it cannot lead to
// anything better: reduction by reduced costs.
std::vector<CoreSearch::Change> CoreSearch::promising_changes(std::uint32_t group) const {
    std::vector<Change> changes;
    const KnapsackItem now = item_at(m_knapsack.groups[group], m_break.level[group]);
    for (std::uint32_t level = 0; level <= m_knapsack.groups[group].size(); ++level) {
        if (level == m_break.level[group]) {
            continue;
        }
        const KnapsackItem then = item_at(m_knapsack.groups[group], level);
        const Change change{level, {then.weight - now.weight, then.profit - now.profit}};
        State state = m_break_state;
        state.weight += change.step.weight;
        state.profit += change.step.profit;
        if (then.weight <= m_knapsack.capacity && (is_best(state) || promises_more(state, m_break_rates))) {
            changes.push_back(change);
        }
    }
    return changes;
}

void CoreSearch::keep(State state, std::uint32_t group, const Change* change, const Rates& rates) {
    const bool best = change != nullptr && is_best(state);
    if (!best && !promises_more(state, rates)) {
        return;
    }
    if (change != nullptr) {
        m_trail.push_back({state.step, group, change->level});
        state.step = static_cast<std::uint32_t>(m_trail.size() - 1);
    }
    if (best) {
        m_best = state;
        m_first_is_best = false;
    }
    m_next.push_back(state);
}

// Every state once as it is and once with each change, merged by weight; what weighs no less than another and earns no
// more falls out.
void CoreSearch::branch(std::uint32_t group, const std::vector<Change>& changes) {
    const Rates rates_left = rates();
    std::vector<std::size_t> next(changes.size() + 1, 0);  // by change, the last of them none: the state to come
    const auto state_of = [&](std::size_t change) {
        State state = m_states[next[change]];
        if (change < changes.size()) {
            state.weight += changes[change].step.weight;
            state.profit += changes[change].step.profit;
        }
        return state;
    };
    m_next.clear();
    std::int64_t most = std::numeric_limits<std::int64_t>::min();
    while (true) {
        std::size_t lightest = next.size();
        State state;
        for (std::size_t change = next.size(); change-- > 0;) {
            if (next[change] == m_states.size()) {
                continue;
            }
            const State here = state_of(change);
            if (lightest == next.size() || here.weight < state.weight ||
                (here.weight == state.weight && here.profit > state.profit)) {
                lightest = change;
                state = here;
            }
        }
        if (lightest == next.size()) {
            break;
        }
        ++next[lightest];
        if (state.profit > most) {
            most = state.profit;
            keep(state, group, lightest < changes.size() ? &changes[lightest] : nullptr, rates_left);
        }
    }
    m_states.swap(m_next);
}

// False when a limit forbids to go on.
bool CoreSearch::open(std::uint32_t group) {
    const std::vector<Change> changes = promising_changes(group);
    if (!changes.empty()) {
        m_visits += (changes.size() + 1) * m_states.size();
        if (m_visits > m_limits.visits || m_trail.size() + changes.size() * m_states.size() > m_limits.trail) {
            return false;
        }
    }
    m_open[group] = true;
    skip_open();
    if (!changes.empty()) {
        branch(group, changes);
    }
    return true;
}

void CoreSearch::run() {
    for (bool right = true; !m_states.empty() && any_left(); right = !right) {
        if (right ? m_right == m_knapsack.upgrades.size() : m_left == 0) {
            continue;
        }
        if (!open(m_knapsack.upgrades[right ? m_right : m_left - 1].group)) {
            m_cut_short = true;
            return;
        }
    }
}

KnapsackResult CoreSearch::result() const {
    KnapsackResult result{
        .level = m_first.level, .weight = m_best.weight, .profit = m_best.profit, .profit_bound = m_best.profit};
    if (!m_first_is_best) {
        result.level = m_break.level;
        for (std::uint32_t step = m_best.step; step != kNoStep; step = m_trail[step].before) {
            result.level[m_trail[step].group] = m_trail[step].level;
        }
    }
    if (m_cut_short) {
        for (const State& state : m_states) {
            if (state.weight <= m_knapsack.capacity || m_left > 0) {
                result.profit_bound = std::max(result.profit_bound, rates().most_profit(state, m_knapsack.capacity));
            }
        }
    }
    return result;
}

}  // namespace eaveshed
