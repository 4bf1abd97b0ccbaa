#include "value_words.hpp"

#include <algorithm>
#include <sstream>

#include <fmt/format.h>

namespace eaveshed {

namespace {

constexpr std::size_t kShownBytes = 60;

bool is_control(char c) {
    const auto byte = static_cast<unsigned char>(c);
    return byte < 0x20 || byte == 0x7f;
}

}  // namespace

std::string shown_name(std::string_view name) {
    std::string text(name);
    if (name.size() > kShownBytes) {
        std::size_t end = kShownBytes;
        while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) {  // inside a UTF-8 sequence
            --end;
        }
        text.resize(end);
        text += "...";
    }
    std::ranges::replace_if(text, is_control, '?');
    return text;
}

std::string shown(const toml::node& node) {
    if (const auto* table = node.as_table()) {
        return fmt::format("a table of {} entries", table->size());
    }
    if (const auto* array = node.as_array()) {
        return fmt::format("a list of {} values", array->size());
    }
    if (const auto* text = node.as_string()) {
        return fmt::format("\"{}\"", shown_name(text->get()));
    }
    std::ostringstream text;
    node.visit([&text](const auto& value) {
        if constexpr (toml::is_value<decltype(value)>) {
            text << value;
        }
    });
    return text.str();
}

bool is_plain(std::string_view text) {
    return !text.empty() && std::ranges::none_of(text, is_control);
}

}  // namespace eaveshed
