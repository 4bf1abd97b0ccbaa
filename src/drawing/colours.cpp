#include "eaveshed/drawing/colours.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>

#include "eaveshed/core/error.hpp"

namespace eaveshed::colour {

namespace {

double channel(const std::string& text, std::size_t from) {
    constexpr int kBase = 16;
    constexpr double kMost = 255.0;
    int value = 0;
    const auto [end, fault] = std::from_chars(text.data() + from, text.data() + from + 2, value, kBase);
    if (fault != std::errc() || end != text.data() + from + 2) {
        internal_error("a colour that is not #rrggbb");
    }
    const double part = static_cast<double>(value) / kMost;
    return part <= 0.03928 ? part / 12.92 : std::pow((part + 0.055) / 1.055, 2.4);
}

double luminance(const std::string& text) {
    if (text.size() != 7 || text.front() != '#') {
        internal_error("a colour that is not #rrggbb");
    }
    return 0.2126 * channel(text, 1) + 0.7152 * channel(text, 3) + 0.0722 * channel(text, 5);
}

}  // namespace

double contrast(const std::string& one, const std::string& other) {
    const double a = luminance(one);
    const double b = luminance(other);
    return (std::max(a, b) + 0.05) / (std::min(a, b) + 0.05);
}

}  // namespace eaveshed::colour
