// Words for the state of talks with an owner that nobody knows.
#pragma once

#include <cstddef>
#include <map>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"

namespace eaveshed {

// Words for which no state is known. Nobody is called whose state is not understood: such a word leaves the owner out.
class UnknownStatuses {
public:
    // `parcel_id`: whose owner it leaves out.
    void add(const std::string& word, const std::string& parcel_id);
    // One warning with the words, how often each stands, the first parcels and the known words; nothing for none. What
    // is too long for a word, or holds digits, may be a note about a person: it is counted and not told.
    void tell(const std::string& where, Findings& findings) const;

private:
    std::map<std::string, std::size_t> m_words;
    std::vector<std::string> m_parcels;  // the first few
    std::size_t m_notes = 0;
};

}  // namespace eaveshed
