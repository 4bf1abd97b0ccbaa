#include "eaveshed/fieldbook/contact_word.hpp"

#include <algorithm>
#include <string_view>

#include "eaveshed/words/wording.hpp"

namespace eaveshed {

std::optional<ContactStatus> contact_status_of(const std::string& text) {
    constexpr std::string_view kBlanks = " \t\r\n";
    const auto first = text.find_first_not_of(kBlanks);
    if (first == std::string::npos) {
        return std::nullopt;
    }
    std::string word = lower_case(text.substr(first, text.find_last_not_of(kBlanks) - first + 1));
    std::ranges::transform(word, word.begin(), [](char c) { return c == '-' || c == ' ' ? '_' : c; });
    return from_text<ContactStatus>(word);
}

}  // namespace eaveshed
