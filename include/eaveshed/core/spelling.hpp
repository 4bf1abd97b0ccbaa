// Letters, and "Did you mean ...?": the known name nearest to a word that is not known.
#pragma once

#include <cstddef>
#include <span>
#include <string_view>
#include <vector>

namespace eaveshed {

// Of the 26 letters; any other character stays as it is.
[[nodiscard]] constexpr char ascii_lower(char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

// Least number of single-character insertions, deletions, replacements and swaps of neighbours, each place edited at
// most once (optimal string alignment). Letters are compared regardless of case.
[[nodiscard]] std::size_t edit_distance(std::string_view a, std::string_view b);

// The nearest of `known`, the first of equals; empty when none is near: more than a third of the word's characters (but
// at least two) would have to change.
[[nodiscard]] std::string_view closest_name(std::string_view word, std::span<const std::string_view> known);

// The nearest of `known`, nearest first, equals in their order, at most `most` of them; as near as closest_name asks.
[[nodiscard]] std::vector<std::string_view> closest_names(std::string_view word,
                                                          std::span<const std::string_view> known, std::size_t most);

}  // namespace eaveshed
