#include "first_choice.hpp"

#include <algorithm>
#include <limits>
#include <optional>
#include <utility>

namespace eaveshed {

namespace {

constexpr int kMostMoves = 25;

// What changes when a group goes to another level.
struct Move {
    std::uint32_t group = 0;
    std::uint32_t level = 0;
    std::int64_t weight = 0;
    std::int64_t profit = 0;
};

// All moves that earn more, by rising weight, and those that free weight, by the weight that they free.
struct Moves {
    std::vector<Move> up;
    std::vector<Move> down;
};

Moves moves_from(std::span<const KnapsackGroup> groups, const Choice& choice) {
    Moves moves;
    for (std::uint32_t group = 0; group < groups.size(); ++group) {
        const KnapsackItem now = item_at(groups[group], choice.level[group]);
        for (std::uint32_t level = 0; level <= groups[group].size(); ++level) {
            const KnapsackItem then = item_at(groups[group], level);
            const Move move{group, level, then.weight - now.weight, then.profit - now.profit};
            if (level > choice.level[group]) {
                moves.up.push_back(move);
            } else if (level < choice.level[group]) {
                moves.down.push_back(move);
            }
        }
    }
    std::stable_sort(moves.up.begin(), moves.up.end(),
                     [](const Move& a, const Move& b) { return a.weight < b.weight; });
    std::stable_sort(moves.down.begin(), moves.down.end(),
                     [](const Move& a, const Move& b) { return a.weight > b.weight; });
    return moves;
}

// The dearest moves up that were seen, of two different groups.
class Dearest {
public:
    void see(const Move& move) {
        if (!m_first || move.profit > m_first->profit) {
            if (m_first && m_first->group != move.group) {
                m_second = m_first;
            }
            m_first = move;
        } else if (move.group != m_first->group && (!m_second || move.profit > m_second->profit)) {
            m_second = move;
        }
    }
    [[nodiscard]] std::optional<Move> besides(std::uint32_t group) const {
        return m_first && m_first->group == group ? m_second : m_first;
    }

private:
    std::optional<Move> m_first;
    std::optional<Move> m_second;
};

constexpr std::uint32_t kNoGroup = std::numeric_limits<std::uint32_t>::max();

// The move, or the pair of them, that earns most; empty when none earns anything.
std::vector<Move> best_moves(const Moves& moves, std::int64_t room) {
    std::vector<Move> best;
    std::int64_t most = 0;
    Dearest dearest;
    auto next = moves.up.begin();
    const auto try_with = [&](const Move& first, bool moves_down) {
        for (; next != moves.up.end() && next->weight <= room - first.weight; ++next) {
            dearest.see(*next);
        }
        const std::optional<Move> second = dearest.besides(first.group);
        if (second && first.profit + second->profit > most) {
            most = first.profit + second->profit;
            best = moves_down ? std::vector{first, *second} : std::vector{*second};
        }
    };
    try_with({.group = kNoGroup}, false);
    for (const Move& down : moves.down) {
        try_with(down, true);
    }
    return best;
}

}  // namespace

Choice first_choice(std::span<const KnapsackGroup> groups, std::int64_t capacity, Choice filled) {
    Choice choice = std::move(filled);
    for (int round = 0; round < kMostMoves; ++round) {
        const std::vector<Move> best = best_moves(moves_from(groups, choice), capacity - choice.weight);
        if (best.empty()) {
            break;
        }
        for (const Move& move : best) {
            choice.level[move.group] = move.level;
            choice.weight += move.weight;
            choice.profit += move.profit;
        }
    }
    return choice;
}

}  // namespace eaveshed
