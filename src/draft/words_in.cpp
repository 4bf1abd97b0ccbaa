#include "words_in.hpp"

#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

enum class Letter : std::uint8_t { none, small, capital, digit };

Letter letter_of(char c) {
    if (c >= 'a' && c <= 'z') {
        return Letter::small;
    }
    if (c >= 'A' && c <= 'Z') {
        return Letter::capital;
    }
    return c >= '0' && c <= '9' ? Letter::digit : Letter::none;
}

// Whether a new word begins between two letters.
bool begins(Letter before, Letter now) {
    return before != now && !(before == Letter::capital && now == Letter::small);
}

// The last capital of some begins the word that goes on in small letters: NHDFlowline, but not APNs.
bool begins_after_capitals(std::string_view name, std::size_t at) {
    return at > 0 && at + 2 < name.size() && letter_of(name[at - 1]) == Letter::capital &&
           letter_of(name[at]) == Letter::capital && letter_of(name[at + 1]) == Letter::small &&
           letter_of(name[at + 2]) == Letter::small;
}

// "buildings" and "parcelid" are of "building" and "parcel"; of a short word only the plural: no "water" in
// "watershed".
bool is_of(std::string_view word, std::string_view want) {
    constexpr std::size_t kLong = 6;
    constexpr std::size_t kShort = 4;
    if (!word.starts_with(want)) {
        return false;
    }
    const std::string_view rest = word.substr(want.size());
    return rest.empty() || want.size() >= kLong || (want.size() >= kShort && rest == "s");
}

}  // namespace

std::vector<std::string> name_words(std::string_view name) {
    std::vector<std::string> words;
    Letter before = Letter::none;
    for (std::size_t i = 0; i < name.size(); ++i) {
        const char c = name[i];
        const Letter now = letter_of(c);
        if (now != Letter::none && (begins(before, now) || begins_after_capitals(name, i))) {
            words.emplace_back();
        }
        if (now != Letter::none) {
            words.back() += now == Letter::capital ? static_cast<char>(c - 'A' + 'a') : c;
        }
        before = now;
    }
    return words;
}

std::string_view word_in(std::string_view name, std::span<const std::string_view> wanted) {
    const std::vector<std::string> words = name_words(name);
    const std::string lower = lower_case(name);
    for (const std::string_view want : wanted) {
        if (want.find_first_of("_0123456789") != std::string_view::npos) {
            if (lower.find(want) != std::string::npos) {
                return want;
            }
            continue;
        }
        for (const std::string& word : words) {
            if (is_of(word, want)) {
                return want;
            }
        }
    }
    return {};
}

}  // namespace eaveshed
