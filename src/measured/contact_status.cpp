#include "eaveshed/measured/contact_status.hpp"

#include <algorithm>

#include "eaveshed/words/wording.hpp"

namespace eaveshed {

std::optional<ContactStatus> contact_status_of(const std::string& text) {
    std::string word = lower_case(text);
    std::ranges::transform(word, word.begin(), [](char c) { return c == '-' || c == ' ' ? '_' : c; });
    const auto& terms = contact_status_terms();
    const auto found = std::ranges::find(terms, word, &Term::name);
    return found != terms.end() ? std::optional(static_cast<ContactStatus>(found - terms.begin())) : std::nullopt;
}

}  // namespace eaveshed
