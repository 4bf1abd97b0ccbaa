// Lines of plain text for a page that is read in a terminal.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace eaveshed {

// Of a page: a terminal beside a map, a sheet of A4 in a small type.
inline constexpr std::size_t kPageColumns = 100;

// Characters, not bytes, as far as that is known: every UTF-8 sequence counts as one.
[[nodiscard]] std::size_t width_of(std::string_view text);

// The words of `text` in lines of at most `columns` characters; a longer word stands in a line of its own. The blanks
// before the first word stay, those between words become one or a break.
[[nodiscard]] std::vector<std::string> wrapped_lines(std::string_view text, std::size_t columns);

// The same as one text that ends in a line break, every line but the first behind `indent` blanks, which count.
[[nodiscard]] std::string wrapped_text(std::string_view text, std::size_t columns, std::size_t indent);

// A line without the blanks at its end.
[[nodiscard]] std::string without_end(const std::string& line);

}  // namespace eaveshed
