// The facts that can be measured as columns of a row that holds them: one for each row of their table
// (facts/table.hpp), in its order.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <tuple>
#include <utility>
#include <variant>

#include "eaveshed/facts/table.hpp"
#include "eaveshed/record/field.hpp"

namespace eaveshed {

template <typename Row, typename Facts, std::size_t Position>
constexpr auto fact_column() {
    constexpr const KnownFact<Facts>& fact = FactsOf<Facts>::table[Position];
    if constexpr (!fact.measurable) {
        return std::tuple();
    } else {
        using Held = std::conditional_t<std::holds_alternative<std::optional<double> Facts::*>(fact.member), double,
                                        std::string>;
        constexpr std::optional<Held> Row::*member = std::get<std::optional<Held> Facts::*>(fact.member);
        return std::tuple(column(member, {fact.name, fact.unit, fact.title, fact.meaning, std::nullopt, fact.words}));
    }
}

// A tuple of MemberColumn. Row has Facts as a base.
template <typename Row, typename Facts>
constexpr auto fact_columns() {
    return []<std::size_t... Positions>(std::index_sequence<Positions...>) {
        return std::tuple_cat(fact_column<Row, Facts, Positions>()...);
    }
    (std::make_index_sequence<FactsOf<Facts>::table.size()>());
}

}  // namespace eaveshed
