#include "eaveshed/words/text_lines.hpp"

#include <algorithm>

namespace eaveshed {

namespace {

struct LineBreaker {
    std::size_t columns;
    std::size_t indent;  // of the lines after the first
    std::vector<std::string> lines;

    void add(std::string_view word) {
        if (width_of(lines.back()) + 1 + width_of(word) <= columns) {
            lines.back().append(" ").append(word);
        } else {
            lines.push_back(std::string(indent, ' ').append(word));
        }
    }
};

std::vector<std::string> broken(std::string_view text, std::size_t columns, std::size_t indent) {
    const std::size_t front = std::min(text.find_first_not_of(' '), text.size());
    LineBreaker breaker{columns, indent, {}};
    for (std::size_t begin = front; begin < text.size();) {
        const std::size_t end = std::min(text.find(' ', begin), text.size());
        if (breaker.lines.empty()) {
            breaker.lines.emplace_back(text.substr(0, end));
        } else {
            breaker.add(text.substr(begin, end - begin));
        }
        begin = std::min(text.find_first_not_of(' ', end), text.size());
    }
    return breaker.lines;
}

}  // namespace

std::size_t width_of(std::string_view text) {
    return static_cast<std::size_t>(
        std::ranges::count_if(text, [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

std::vector<std::string> wrapped_lines(std::string_view text, std::size_t columns) {
    return broken(text, columns, 0);
}

std::string wrapped_text(std::string_view text, std::size_t columns, std::size_t indent) {
    std::string lines;
    for (const std::string& line : broken(text, columns, indent)) {
        lines += line + '\n';
    }
    return lines;
}

std::string without_end(const std::string& line) {
    return line.substr(0, line.find_last_not_of(" \n") + 1) + '\n';
}

}  // namespace eaveshed
