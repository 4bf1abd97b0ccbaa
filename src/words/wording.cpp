#include "eaveshed/words/wording.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "disturbing.hpp"
#include "eaveshed/core/spelling.hpp"

namespace eaveshed {

namespace {

constexpr std::string_view kReplacement = "\xEF\xBF\xBD";  // U+FFFD

unsigned byte_at(std::string_view text, std::size_t i) {
    return static_cast<unsigned char>(text[i]);
}

struct Sequence {
    std::size_t length = 1;  // bytes of a code point, or of the ill-formed part
    bool valid = false;
};

// What stands at position i (The Unicode Standard, table 3-7: well-formed UTF-8 byte sequences).
Sequence sequence_at(std::string_view text, std::size_t i) {
    const unsigned lead = byte_at(text, i);
    if (lead < 0x80) {
        return {1, true};
    }
    std::size_t length = 0;
    unsigned low = 0x80;  // bounds of the second byte
    unsigned high = 0xBF;
    if (lead >= 0xC2 && lead <= 0xDF) {
        length = 2;
    } else if (lead >= 0xE0 && lead <= 0xEF) {
        length = 3;
        low = lead == 0xE0 ? 0xA0 : low;
        high = lead == 0xED ? 0x9F : high;
    } else if (lead >= 0xF0 && lead <= 0xF4) {
        length = 4;
        low = lead == 0xF0 ? 0x90 : low;
        high = lead == 0xF4 ? 0x8F : high;
    } else {
        return {1, false};
    }
    for (std::size_t k = 1; k < length; ++k) {
        if (i + k >= text.size() || byte_at(text, i + k) < low || byte_at(text, i + k) > high) {
            return {k, false};
        }
        low = 0x80;
        high = 0xBF;
    }
    return {length, true};
}

}  // namespace

bool disturbs(std::string_view code_point) {
    const unsigned first = byte_at(code_point, 0);
    if (code_point.size() == 1) {
        return first < 0x20 || first == 0x7F;
    }
    if (code_point.size() == 2) {
        const unsigned second = byte_at(code_point, 1);
        return (first == 0xC2 && second < 0xA0) || (first == 0xD8 && second == 0x9C);  // C1, U+061C
    }
    if (code_point.size() == 3 && first == 0xE2) {
        const unsigned second = byte_at(code_point, 1);
        const unsigned third = byte_at(code_point, 2);
        return (second == 0x80 && (third == 0x8E || third == 0x8F || (third >= 0xA8 && third <= 0xAE))) ||
               (second == 0x81 && third >= 0xA6 && third <= 0xA9);
    }
    return false;
}

std::size_t length_of_code_point(std::string_view text, std::size_t at) {
    return sequence_at(text, at).length;
}

bool replace_invalid_utf8(std::string& text) {
    std::size_t i = 0;
    while (i < text.size() && byte_at(text, i) < 0x80) {
        ++i;  // plain text is the common case
    }
    std::string mended;
    bool replaced = false;
    std::size_t copied = 0;
    while (i < text.size()) {
        const Sequence found = sequence_at(text, i);
        if (!found.valid) {
            mended.append(text, copied, i - copied);
            mended += kReplacement;
            copied = i + found.length;
            replaced = true;
        }
        i += found.length;
    }
    if (replaced) {
        mended += text.substr(copied);
        text = std::move(mended);
    }
    return replaced;
}

std::string printable(std::string_view text, std::size_t most) {
    std::string whole(text);
    replace_invalid_utf8(whole);
    std::string safe;
    for (std::size_t i = 0; i < whole.size();) {
        const std::size_t length = sequence_at(whole, i).length;
        const std::string_view code_point = std::string_view(whole).substr(i, length);
        if (safe.size() + length > most) {
            return safe + "...";
        }
        const bool blank = code_point == "\n" || code_point == "\r" || code_point == "\t";
        safe += blank ? std::string_view(" ") : disturbs(code_point) ? std::string_view("?") : code_point;
        i += length;
    }
    return safe;
}

std::string did_you_mean(std::string_view name, const std::vector<std::string>& candidates,
                         const std::string& otherwise) {
    const std::vector<std::string_view> known(candidates.begin(), candidates.end());
    const std::string_view guess = closest_name(name, known);
    return guess.empty() ? otherwise : fmt::format("did you mean '{}'?", printable(guess));
}

std::string listed(const std::vector<std::string>& items, std::size_t most) {
    if (items.empty()) {
        return "none";
    }
    std::string text;
    const std::size_t shown = std::min(items.size(), most);
    for (std::size_t i = 0; i < shown; ++i) {
        text += (i > 0 ? ", " : "") + printable(items[i]);
    }
    if (shown < items.size()) {
        text += fmt::format(" and {} more", items.size() - shown);
    }
    return text;
}

std::string listed_words(const ClosedList& list) {
    std::string text;
    for (const Term& term : list.terms) {
        text += &term == &list.terms.front() ? "" : &term == &list.terms.back() ? " or " : ", ";
        text += term.name;
    }
    return text;
}

std::string shell_word(std::string_view word) {
    constexpr std::string_view kPlain = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789._/-+:=,@%";
    constexpr std::size_t kMost = 4096;
    std::string shown = (word.starts_with('-') ? "./" : "") + printable(word, kMost);
    if (!shown.empty() && shown.find_first_not_of(kPlain) == std::string::npos) {
        return shown;
    }
    std::string quoted = "'";
    for (const char c : shown) {
        quoted += c == '\'' ? std::string("'\\''") : std::string(1, c);
    }
    return quoted + "'";
}

std::string setting_and_path(std::string_view setting, std::string_view path) {
    return fmt::format("{} \"{}\"", setting, printable(path));
}

std::string spaced(std::string_view word) {
    std::string text(word);
    std::ranges::replace(text, '_', ' ');
    return text;
}

std::string lower_case(std::string_view text) {
    std::string lower(text);
    std::transform(lower.begin(), lower.end(), lower.begin(),
                   [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
    return lower;
}

std::string counted(std::uint64_t number, const std::string& singular) {
    return fmt::format("{} {}{}", number, singular, number == 1 ? "" : "s");
}

}  // namespace eaveshed
