// How the text of the column ask_first is put together, and taken apart again: "Ask what the roof is covered with: the
// tank replaces 20.0 m3 if gravel, 40.0 m3 if metal. Ask ...". The text may come from anywhere.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace eaveshed {

inline constexpr std::string_view kAsk = "Ask ";
inline constexpr std::string_view kNextQuestion = ". Ask ";

// Its questions in order, each with its full stop; none of an empty text.
[[nodiscard]] std::vector<std::string_view> questions_in(std::string_view ask_first);
// The one that it begins with; empty where it asks nothing.
[[nodiscard]] std::string first_question(std::string_view ask_first);
// What a question is about, without "Ask " and without what hangs on it: "what the roof is covered with"; empty for a
// sentence that asks nothing.
[[nodiscard]] std::string_view subject_of(std::string_view question);

}  // namespace eaveshed
