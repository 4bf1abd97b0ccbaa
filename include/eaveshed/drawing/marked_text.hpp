// Numbers as SVG takes them, and how much room a text takes.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace eaveshed {

// With at most so many decimals (0..6), without an exponent, without zeros at the end: "12.5", "0", "-3". A value that
// is not finite is a broken invariant.
[[nodiscard]] std::string svg_number(double value, int decimals = 2);

// How wide a text is drawn, as a multiple of its size: 0.58 a character, which is wider than most letters of common
// faces without serifs and than all their digits (0.556 in Helvetica's metrics, from memory). Every UTF-8 sequence
// counts as one.
[[nodiscard]] double text_width(std::string_view text, double size);

}  // namespace eaveshed
