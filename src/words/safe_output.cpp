#include "eaveshed/words/safe_output.hpp"

#include <cstdio>

#include "disturbing.hpp"
#include "eaveshed/words/say.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

// Of a valid sequence of at most three bytes.
unsigned number_of(std::string_view code_point) {
    const auto byte = [code_point](std::size_t i) {
        return static_cast<unsigned>(static_cast<unsigned char>(code_point[i]));
    };
    switch (code_point.size()) {
        case 1: return byte(0);
        case 2: return (byte(0) & 0x1FU) << 6U | (byte(1) & 0x3FU);
        default: return (byte(0) & 0x0FU) << 12U | (byte(1) & 0x3FU) << 6U | (byte(2) & 0x3FU);
    }
}

}  // namespace

std::string without_controls(std::string_view text) {
    std::string valid(text);
    replace_invalid_utf8(valid);
    std::string safe;
    safe.reserve(valid.size());
    for (std::size_t i = 0; i < valid.size();) {
        const std::string_view code_point = std::string_view(valid).substr(i, length_of_code_point(valid, i));
        const bool break_of_lines = code_point == "\n" || valid.compare(i, 2, "\r\n") == 0;
        if (disturbs(code_point) && !break_of_lines && code_point != "\t") {
            safe += fmt::format("\\u{:04x}", number_of(code_point));
        } else {
            safe += code_point;
        }
        i += code_point.size();
    }
    return safe;
}

void tell_text(std::string_view text) {
    say(without_controls(text));
}

SafeBuffer::~SafeBuffer() {
    sync();
}

SafeBuffer::int_type SafeBuffer::overflow(int_type letter) {
    if (!traits_type::eq_int_type(letter, traits_type::eof())) {
        const char one = traits_type::to_char_type(letter);
        xsputn(&one, 1);
    }
    return traits_type::not_eof(letter);
}

std::streamsize SafeBuffer::xsputn(const char* text, std::streamsize size) {
    m_waiting.append(text, static_cast<std::size_t>(size));
    if (const std::size_t last = m_waiting.rfind('\n'); last != std::string::npos) {
        hand_on(last + 1);
    }
    return size;
}

int SafeBuffer::sync() {
    hand_on(m_waiting.size());
    m_to.flush();
    return m_to ? 0 : -1;
}

void SafeBuffer::hand_on(std::size_t bytes) {
    m_to << without_controls(std::string_view(m_waiting).substr(0, bytes));
    m_waiting.erase(0, bytes);
}

}  // namespace eaveshed
