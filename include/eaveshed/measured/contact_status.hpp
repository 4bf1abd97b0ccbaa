// The state of talks with an owner, as tables of people write it.
#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <string>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/outcomes.hpp"

namespace eaveshed {

// The state that a word stands for; none for a word that is not known. Case and blanks around it count nothing, blanks
// and hyphens within are underscores.
// method.md 8.1.
[[nodiscard]] std::optional<ContactStatus> contact_status_of(const std::string& word);

// Words for which no state is known. Nobody is called whose state is not understood: such a word leaves the owner out.
class UnknownStatuses {
public:
    void add(const std::string& word);
    // One warning with the words, how often each stands, and the known ones; nothing for none. What is too long for a
    // word, or holds digits, may be a note about a person: it is counted and not told.
    void tell(const std::string& where, Findings& findings) const;

private:
    std::map<std::string, std::size_t> m_words;
    std::size_t m_notes = 0;
};

}  // namespace eaveshed
