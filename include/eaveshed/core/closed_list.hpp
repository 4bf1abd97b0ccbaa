// Closed lists: the only words that a column or a setting may hold, each with its meaning. A list stands once, beside
// its enumeration; text, reading, the output's schema, help and docs/output.md are made from it.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <string_view>
#include <type_traits>

namespace eaveshed {

// A closed list's entry as text, and what it means in a sentence.
struct Term {
    std::string_view name;
    std::string_view meaning;
};

template <std::size_t N>
struct TermList {
    std::string_view name;        // in the output's schema
    std::string_view meaning;     // what the words are about
    std::array<Term, N> terms{};  // in the order of the enumeration's values, which count from 0
};

// An enumeration has a closed list where this is specialised for it.
template <typename Enum>
inline constexpr TermList<0> kTermList{};

template <typename Enum>
concept HasTerms = std::is_enum_v<Enum> && !kTermList<Enum>.name.empty();

template <HasTerms Enum>
[[nodiscard]] constexpr const auto& terms_of() {
    return kTermList<Enum>.terms;
}

// A value for each term, in their order.
template <HasTerms Enum, typename T>
using PerTerm = std::array<T, kTermList<Enum>.terms.size()>;

template <HasTerms Enum>
[[nodiscard]] constexpr const Term& term_of(Enum value) {
    return terms_of<Enum>().at(static_cast<std::size_t>(value));
}

template <HasTerms Enum>
[[nodiscard]] constexpr std::string_view to_text(Enum value) {
    return term_of(value).name;
}

// None for a word that is not in the list.
template <HasTerms Enum>
[[nodiscard]] constexpr std::optional<Enum> from_text(std::string_view word) {
    const auto& terms = terms_of<Enum>();
    const auto* const found = std::ranges::find(terms, word, &Term::name);
    return found == terms.end() ? std::nullopt : std::optional(static_cast<Enum>(found - terms.begin()));
}

// Any closed list, for those who only read it.
struct ClosedList {
    std::string_view name;
    std::string_view meaning;
    std::span<const Term> terms;
};

template <HasTerms Enum>
[[nodiscard]] constexpr ClosedList closed_list() {
    return {kTermList<Enum>.name, kTermList<Enum>.meaning, terms_of<Enum>()};
}

}  // namespace eaveshed
