#include "eaveshed/record/ask_first.hpp"

#include <algorithm>

namespace eaveshed {

std::vector<std::string_view> questions_in(std::string_view ask_first) {
    std::vector<std::string_view> questions;
    while (!ask_first.empty()) {
        const auto stop = ask_first.find(kNextQuestion);
        const bool last = stop == std::string_view::npos;
        questions.push_back(ask_first.substr(0, last ? stop : stop + 1));
        ask_first.remove_prefix(last ? ask_first.size() : stop + kNextQuestion.find(kAsk));
    }
    return questions;
}

std::string first_question(std::string_view ask_first) {
    const auto questions = questions_in(ask_first);
    return questions.empty() ? std::string() : std::string(questions.front());
}

std::string_view subject_of(std::string_view question) {
    if (!question.starts_with(kAsk)) {
        return {};
    }
    question.remove_prefix(kAsk.size());
    return question.substr(0, std::min(question.find(':'), question.find_last_not_of('.') + 1));
}

}  // namespace eaveshed
