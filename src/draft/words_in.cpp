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

}  // namespace

std::vector<std::string> name_words(std::string_view name) {
    std::vector<std::string> words;
    Letter before = Letter::none;
    for (const char c : name) {
        const Letter now = letter_of(c);
        if (now != Letter::none && begins(before, now)) {
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
    constexpr std::size_t kLong = 5;  // "building" in "buildings", but no "pr" in "present"
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
            if (word == want || (want.size() >= kLong && word.starts_with(want))) {
                return want;
            }
        }
    }
    return {};
}

}  // namespace eaveshed
