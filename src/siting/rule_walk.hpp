// How the list of rules is asked: of a cell, of a row, or of a pad as a whole. Everything is resolved when compiling;
// the loops cost what tests written out by hand would. Private to the module.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <tuple>
#include <utility>

#include "eaveshed/siting/pad_rules.hpp"
#include "rule_list.hpp"

namespace eaveshed {

template <typename Rule, typename Asked>
concept RuleOf = requires(const Asked& asked) {
    Rule::fails(asked, 0.0);
};
template <typename Rule>
concept AsksAnywhere = requires(const PlaceAsked& asked) {
    Rule::fails_anywhere(asked, 0.0);
};
template <typename Rule>
concept MeasuresRows = requires(const RowAsked& asked, const Span& cols, std::span<double> out) {
    Rule::squares(asked, cols, out);
};
template <typename Rule>
concept KeepsRuns = requires(const RowAsked& asked, Spans& out) {
    Rule::keeps(asked, out);
};

template <typename Rule>
constexpr RuleSubject subject_of() {
    if constexpr (RuleOf<Rule, GroundAsked>) {
        return RuleSubject::ground;
    } else if constexpr (RuleOf<Rule, Levelled>) {
        return RuleSubject::level;
    } else if constexpr (KeepsRuns<Rule> || MeasuresRows<Rule>) {
        return RuleSubject::runs;
    } else if constexpr (RuleOf<Rule, PlaceAsked>) {
        return RuleSubject::place;
    } else {
        static_assert(RuleOf<Rule, Pad>, "a rule has a test of one of the kinds that rule_list.hpp names");
        return RuleSubject::pad;
    }
}

// The entries with what their tests are asked of.
inline constexpr std::array<SitingRule, kPadRules> kRuleEntries = std::apply(
    [](auto... rule) {
        const auto entry = []<typename Rule>(Rule) {
            SitingRule filled = Rule::kEntry;
            filled.subject = subject_of<Rule>();
            return filled;
        };
        return std::array{entry(rule)...};
    },
    kRuleList);

constexpr std::size_t rules_of(RuleSubject subject) {
    std::size_t count = 0;
    for (const SitingRule& rule : kRuleEntries) {
        count += rule.subject == subject ? 1U : 0U;
    }
    return count;
}
inline constexpr std::size_t kGroundRules = rules_of(RuleSubject::ground);
inline constexpr std::size_t kKeepingRule = kGroundRules + rules_of(RuleSubject::level);

constexpr bool rules_in_order() {
    for (std::size_t i = 0; i < kPadRules; ++i) {
        if (kRuleEntries[i].reason != static_cast<PadReason>(i) ||
            (i > 0 && kRuleEntries[i].subject < kRuleEntries[i - 1].subject)) {
            return false;
        }
    }
    return true;
}
static_assert(std::tuple_size_v<decltype(kRuleList)> == kPadRules, "one rule for each reason that removes cells");
static_assert(rules_in_order(), "the rules stand in the order of PadReason: ground, level, runs, place, pad");
static_assert(KeepsRuns<std::tuple_element_t<kKeepingRule, decltype(kRuleList)>> &&
                  std::apply([](auto... rule) { return (0 + ... + (KeepsRuns<decltype(rule)> ? 1 : 0)); }, kRuleList) ==
                      1,
              "the first rule of the runs, and no other, says what it keeps");
static_assert(std::apply(
                  [](auto... rule) {
                      return (... && (AsksAnywhere<decltype(rule)> ==
                                      (KeepsRuns<decltype(rule)> || MeasuresRows<decltype(rule)>)));
                  },
                  kRuleList),
              "what a rule says of rows, and nothing else, it says again of any place");

// The rules that measure rows, in order: which of them each is.
inline constexpr std::size_t kMeasuringRules = std::apply(
    [](auto... rule) { return (std::size_t{0} + ... + (MeasuresRows<decltype(rule)> ? 1U : 0U)); }, kRuleList);
template <typename Rule>
requires MeasuresRows<Rule>
constexpr std::size_t measuring_index(Rule) {
    std::size_t before = 0;
    std::apply(
        [&](auto... other) {
            ((before +=
              MeasuresRows<decltype(other)> && decltype(other)::kEntry.reason < Rule::kEntry.reason ? 1U : 0U),
             ...);
        },
        kRuleList);
    return before;
}

// Asks the rules in order until one says yes.
template <typename Ask>
constexpr bool any_rule(Ask&& ask) {
    return std::apply([&](auto... rule) { return (... || ask(rule)); }, kRuleList);
}

// The first rule that says yes.
template <typename Ask>
constexpr std::optional<PadReason> first_rule(Ask&& ask) {
    std::optional<PadReason> reason;
    any_rule([&](auto rule) {
        if (!ask(rule)) {
            return false;
        }
        reason = rule.kEntry.reason;
        return true;
    });
    return reason;
}

template <typename Do>
constexpr void each_rule(Do&& run) {
    std::apply([&](auto... rule) { (run(rule), ...); }, kRuleList);
}

template <typename Rule>
constexpr double limit_of(Rule, const PadLimits& limits) {
    return limits[Rule::kEntry.reason];
}

// Whether the rule asks this and removes the cell.
template <typename Rule, typename Asked>
bool fails(Rule rule, const Asked& asked, const PadLimits& limits) {
    if constexpr (RuleOf<Rule, Asked>) {
        return Rule::fails(asked, limit_of(rule, limits));
    } else {
        return false;
    }
}

// Whether any of the rules does.
template <typename Asked>
bool fails_any(const Asked& asked, const PadLimits& limits) {
    return any_rule([&](auto rule) { return fails(rule, asked, limits); });
}

// The same of a circle that rows of cells tell nothing of.
template <typename Rule>
bool fails_anywhere(Rule rule, const PlaceAsked& asked, const PadLimits& limits) {
    if constexpr (AsksAnywhere<Rule>) {
        return Rule::fails_anywhere(asked, limit_of(rule, limits));
    } else {
        return fails(rule, asked, limits);
    }
}

// The least squared distances, by measuring_index, at which the rules that measure leave a circle.
using Clearance = std::array<double, kMeasuringRules>;
inline Clearance clearance_of(double radius_m, const PadLimits& limits) {
    Clearance clear{};
    each_rule([&](auto rule) {
        if constexpr (MeasuresRows<decltype(rule)>) {
            clear[measuring_index(rule)] = least_square_not_nearer(limit_of(rule, limits) + radius_m);
        }
    });
    return clear;
}

// Whether spans hold one column after another, columns ascending.
class SpanCursor {
public:
    SpanCursor() = default;
    explicit SpanCursor(const Spans& spans) : m_next(spans.begin()), m_end(spans.end()) {}
    [[nodiscard]] bool holds(std::int64_t col) {
        while (m_next != m_end && m_next->end <= col) {
            ++m_next;
        }
        return m_next != m_end && m_next->begin <= col;
    }

private:
    Spans::const_iterator m_next;
    Spans::const_iterator m_end;
};

}  // namespace eaveshed
