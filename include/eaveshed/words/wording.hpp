// Words for messages about outside names: made safe to print, listed, and matched with what was probably meant.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/core/closed_list.hpp"

namespace eaveshed {

// Replaces each ill-formed part by U+FFFD, one for each maximal part of a sequence that could have begun well (The
// Unicode Standard, 3.9, table 3-8). True when there was one.
bool replace_invalid_utf8(std::string& text);

// Valid UTF-8 of at most `most` bytes (then "..."), in one line, without control characters or marks that turn the
// direction of writing.
[[nodiscard]] std::string printable(std::string_view text, std::size_t most = 200);

// "did you mean 'x'?" with the nearest candidate, or the other text when nothing is near (core/nearest.hpp).
[[nodiscard]] std::string did_you_mean(std::string_view name, const std::vector<std::string>& candidates,
                                       const std::string& otherwise);

// "a, b, c and 7 more", each made printable; "none" for none.
[[nodiscard]] std::string listed(const std::vector<std::string>& items, std::size_t most = 20);

// "a, b or c": the words of a closed list.
[[nodiscard]] std::string listed_words(const ClosedList& list);

// A word as a shell takes it, for commands that are there to be copied: quoted where it is not plain, and no option
// where it is the name of a file that begins with a dash.
[[nodiscard]] std::string shell_word(std::string_view word);

// `footprints.source "a.gpkg"`: how a message names an input.
[[nodiscard]] std::string setting_and_path(std::string_view setting, std::string_view path);

// "1 roof", "2 roofs".
[[nodiscard]] std::string counted(std::uint64_t number, const std::string& singular);

// A word of a closed list as people write it: blanks for underscores.
[[nodiscard]] std::string spaced(std::string_view word);

// ASCII letters only; other bytes are kept.
[[nodiscard]] std::string lower_case(std::string_view text);

}  // namespace eaveshed
