#include "eaveshed/measured/contact_status.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>
#include <vector>

#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kParcelsNamed = 5;
constexpr std::size_t kParcelIdBytes = 60;

// A word or two, such as a column of states holds.
bool is_a_word(std::string_view text) {
    constexpr std::size_t kLongest = 30;
    return text.size() <= kLongest &&
           std::ranges::none_of(text, [](char c) { return (c >= '0' && c <= '9') || c == '@'; }) &&
           std::ranges::count(text, ' ') <= 2;
}

}  // namespace

void UnknownStatuses::add(const std::string& word, const std::string& parcel_id) {
    if (m_parcels.size() < kParcelsNamed) {
        m_parcels.push_back(fmt::format("parcel '{}'", printable(parcel_id, kParcelIdBytes)));
    }
    if (is_a_word(word)) {
        ++m_words[word];
    } else {
        ++m_notes;
    }
}

void UnknownStatuses::tell(const std::string& where, Findings& findings) const {
    constexpr std::size_t kMostNamed = 10;
    std::size_t count = m_notes;
    std::vector<std::string> words;
    for (const auto& [word, times] : m_words) {
        words.push_back(times == 1 ? fmt::format("\"{}\"", word) : fmt::format("\"{}\" ({} times)", word, times));
        count += times;
    }
    if (m_notes > 0) {
        words.push_back(counted(m_notes, "longer text"));
    }
    if (count > 0) {
        findings.warn(
            {where,
             fmt::format("{} status word{} that {} not known: {}; first at {}", count, count == 1 ? "" : "s",
                         count == 1 ? "is" : "are", listed(words, kMostNamed), listed(m_parcels, kParcelsNamed)),
             listed_words(closed_list<ContactStatus>()) + "; or nothing",
             "these owners are left out of the ranking, with the status do_not_contact, since the word may mean no: "
             "mend "
             "the column"});
    }
}

}  // namespace eaveshed
