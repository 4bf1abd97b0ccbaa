#include "eaveshed/drawing/marked_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

std::string svg_number(double value, int decimals) {
    if (!std::isfinite(value)) {
        internal_error("a drawing with a number that is not finite");
    }
    std::string text = fmt::format("{:.{}f}", value, decimals);
    if (text.find('.') != std::string::npos) {
        text.erase(text.find_last_not_of('0') + 1);
        if (text.back() == '.') {
            text.pop_back();
        }
    }
    return text == "-0" ? "0" : text;
}

double text_width(std::string_view text, double size) {
    constexpr double kPerLetter = 0.61;
    const auto letters =
        std::ranges::count_if(text, [](char letter) { return (static_cast<unsigned char>(letter) & 0xC0U) != 0x80U; });
    return kPerLetter * size * static_cast<double>(letters);
}

}  // namespace eaveshed
