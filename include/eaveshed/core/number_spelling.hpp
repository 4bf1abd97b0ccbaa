// Numbers as tables of many lands write them.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace eaveshed {

enum class NumberSpelling : std::uint8_t {
    plain,     // nothing to be read otherwise than it stands
    restored,  // a decimal comma, or signs between thousands: written anew with a decimal point alone
    two_ways,  // "1,234": one and a bit, or more than a thousand
};

struct SpelledNumber {
    std::string text;  // with a decimal point and nothing between thousands, unless it can be read in two ways
    NumberSpelling spelling = NumberSpelling::plain;
};

// The number at the front of a text; what stands behind it (a unit) and blanks before it are left as they are. Commas
// and points are restored where they can mean one thing only: "3,2", "0,234", "1234,567" and "1.234,5" have a decimal
// comma, in "1,234.5", "1,234,567" and "1.234.567" thousands are parted. A single point is a decimal point always.
// What is no number at all is left as it is: "1,23,4", "3,".
[[nodiscard]] SpelledNumber spelled_number(std::string_view text);

}  // namespace eaveshed
