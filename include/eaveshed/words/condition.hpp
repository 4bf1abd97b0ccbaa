// A condition on the fields of a layer as people write it, such as "use <> 'greenhouse'": one expression of SQL that
// names fields, values and a few functions. It may stand in a project file that somebody else wrote: what could do more
// than judge a row is refused here, before any library reads it, in the same way for every format.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace eaveshed {

// What is wrong with the text; none when it is one expression: quotes and brackets closed, no comment, no statement, no
// place for a value to be filled in, no function but condition_functions(). Whether the fields exist is not asked.
[[nodiscard]] std::optional<std::string> fault_of_condition(std::string_view text);

// Functions that give the same for the same row on any day, in lower case, sorted.
[[nodiscard]] std::span<const std::string_view> condition_functions();

// What to do about a condition that a library did not understand, from what it said: a field near the one that it does
// not know, or all fields.
[[nodiscard]] std::string condition_remedy(const std::string& said, const std::vector<std::string>& fields);

}  // namespace eaveshed
