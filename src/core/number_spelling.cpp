#include "eaveshed/core/number_spelling.hpp"

#include <algorithm>
#include <cstddef>

namespace eaveshed {

namespace {

constexpr std::size_t kThousand = 3;  // digits between two signs that part thousands

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

// "1,234,567": one to three digits, the first not 0, then groups of three.
bool is_parted(std::string_view digits, char sign) {
    const std::size_t first = digits.find(sign);
    if (first == std::string_view::npos || first == 0 || first > kThousand || digits.front() == '0') {
        return false;
    }
    for (std::size_t at = first; at < digits.size(); at += kThousand + 1) {
        const std::string_view group = digits.substr(at + 1, kThousand);
        if (digits[at] != sign || group.size() != kThousand || !std::ranges::all_of(group, is_digit)) {
            return false;
        }
    }
    return true;
}

std::string without(std::string_view digits, char sign) {
    std::string left(digits);
    std::erase(left, sign);
    return left;
}

// Digits with one sign or both between them, at least one of them.
SpelledNumber spelled(std::string_view digits) {
    SpelledNumber as_it_stands{std::string(digits)};
    const std::size_t last = digits.find_last_of(".,");
    const char decimal = digits[last];
    const char other = decimal == ',' ? '.' : ',';
    const std::string_view whole = digits.substr(0, last);
    const std::string_view part = digits.substr(last + 1);
    if (std::ranges::count(digits, decimal) > 1) {
        return is_parted(digits, decimal) ? SpelledNumber{without(digits, decimal), NumberSpelling::restored}
                                          : as_it_stands;
    }
    if (part.empty()) {
        return as_it_stands;
    }
    if (whole.find(other) != std::string_view::npos) {
        return is_parted(whole, other)
                   ? SpelledNumber{without(whole, other) + '.' + std::string(part), NumberSpelling::restored}
                   : as_it_stands;
    }
    if (decimal == '.') {
        return as_it_stands;
    }
    if (is_parted(digits, decimal)) {
        return {std::string(digits), NumberSpelling::two_ways};
    }
    return {std::string(whole) + '.' + std::string(part), NumberSpelling::restored};
}

}  // namespace

SpelledNumber spelled_number(std::string_view text) {
    const auto in_number = [](char c) { return is_digit(c) || c == '.' || c == ','; };
    const std::size_t begin = text.find_first_not_of(" \t\r\n+-");
    if (begin == std::string_view::npos) {
        return {std::string(text)};
    }
    const auto* const end = std::find_if_not(text.begin() + begin, text.end(), in_number);
    const std::string_view digits(text.begin() + begin, end);
    if (digits.find(',') == std::string_view::npos && std::ranges::count(digits, '.') < 2) {
        return {std::string(text)};
    }
    SpelledNumber number = spelled(digits);
    number.text = std::string(text.substr(0, begin)) + number.text + std::string(end, text.end());
    return number;
}

}  // namespace eaveshed
