// Ways through the tables of facts: all of a roof or parcel one by one, one of them by its member, and measured ones in
// place of what the data say.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <variant>

#include "eaveshed/core/error.hpp"
#include "eaveshed/facts/table.hpp"

namespace eaveshed {

// The row of a member in its table, from 0; an internal error for one without a row.
template <typename Facts, typename Value>
[[nodiscard]] constexpr std::size_t row_of(std::optional<Value> Facts::*member) {
    const auto& table = FactsOf<Facts>::table;
    for (std::size_t row = 0; row < table.size(); ++row) {
        if (table[row].member == FactMember<Facts>(member)) {
            return row;
        }
    }
    internal_error("a fact without a row in its table");
}

template <typename Facts, typename Value>
[[nodiscard]] constexpr const KnownFact<Facts>& fact_of(std::optional<Value> Facts::*member) {
    return FactsOf<Facts>::table[row_of(member)];
}

template <typename Facts, typename Value>
[[nodiscard]] constexpr bool is_measured(const Facts& facts, std::optional<Value> Facts::*member) {
    return facts.measured.has(row_of(member));
}

// visit(fact, value) for every fact in the order of the table; `value` is an optional number or text of `facts`, which
// is a Facts, or a row that holds them among others.
template <typename Facts, typename Holder, typename Visitor>
void visit_facts(Holder& facts, Visitor&& visit) {
    for (const KnownFact<Facts>& fact : FactsOf<Facts>::table) {
        std::visit([&](auto member) { visit(fact, facts.*member); }, fact.member);
    }
}

// The same for those that can be measured.
template <typename Facts, typename Holder, typename Visitor>
void visit_measurable(Holder& facts, Visitor&& visit) {
    visit_facts<Facts>(facts, [&](const auto& fact, auto& value) {
        if (fact.measurable) {
            visit(fact, value);
        }
    });
}

// visit(fact, member) for every fact of a type (double or std::string) that can be measured.
template <typename Facts, typename Value, typename Visitor>
void visit_members(Visitor&& visit) {
    for (const auto& fact : FactsOf<Facts>::table) {
        const auto* const member = std::get_if<std::optional<Value> Facts::*>(&fact.member);
        if (fact.measurable && member != nullptr) {
            visit(fact, *member);
        }
    }
}

template <typename Facts>
[[nodiscard]] bool any_measurable(const Facts& facts) {
    bool any = false;
    visit_measurable<Facts>(facts, [&any](const auto& /*fact*/, const auto& value) { any = any || value.has_value(); });
    return any;
}

// Every value that is given takes the place of the one in `facts`, which then counts as measured.
void take_measured(const RoofFacts& given, RoofFacts& facts);
// The same; the data's share is that of the water source they name, so another source sets it aside.
void take_measured(const ParcelFacts& given, ParcelFacts& facts);

// Values that are given take the place of others; measured or not is left as it is.
template <typename Facts>
void merge_facts(const Facts& given, Facts& into) {
    for (const auto& fact : FactsOf<Facts>::table) {
        std::visit(
            [&](auto member) {
                if (given.*member) {
                    into.*member = given.*member;
                }
            },
            fact.member);
    }
}

}  // namespace eaveshed
