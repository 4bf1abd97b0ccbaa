// Code points that no text for people should hold. Private to the module.
#pragma once

#include <cstddef>
#include <string_view>

namespace eaveshed {

// Control characters, and marks that would let a name rewrite the message around it. Of one valid sequence.
[[nodiscard]] bool disturbs(std::string_view code_point);

// Bytes of the code point that begins there, in valid UTF-8.
[[nodiscard]] std::size_t length_of_code_point(std::string_view text, std::size_t at);

}  // namespace eaveshed
