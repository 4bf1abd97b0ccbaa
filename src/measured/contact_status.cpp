#include "eaveshed/measured/contact_status.hpp"

#include <algorithm>

#include "eaveshed/words/wording.hpp"

namespace eaveshed {

std::optional<ContactStatus> contact_status_of(const std::string& text) {
    std::string word = lower_case(text);
    std::ranges::transform(word, word.begin(), [](char c) { return c == '-' || c == ' ' ? '_' : c; });
    return from_text<ContactStatus>(word);
}

}  // namespace eaveshed
