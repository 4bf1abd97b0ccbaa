#include "eaveshed/source/feature_source.hpp"

#include <charconv>
#include <cmath>
#include <string_view>

namespace eaveshed {

std::optional<double> number_from_text(const std::optional<std::string>& text) {
    if (!text) {
        return std::nullopt;
    }
    constexpr std::string_view kBlanks = " \t\r\n";
    const std::size_t first = text->find_first_not_of(kBlanks);
    if (first == std::string::npos) {
        return std::nullopt;
    }
    const char* const begin = text->data() + first;
    const char* const end = text->data() + text->find_last_not_of(kBlanks) + 1;
    double value = 0.0;
    const auto done = std::from_chars(begin, end, value);
    if (done.ec != std::errc() || done.ptr != end || !std::isfinite(value)) {
        return std::nullopt;
    }
    return value;
}

}  // namespace eaveshed
