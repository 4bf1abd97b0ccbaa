#include "eaveshed/core/outcomes.hpp"

#include <algorithm>

namespace eaveshed {

std::string to_text(Flags flags) {
    std::string text;
    for (std::size_t i = 0; i < kFlagCount; ++i) {
        if (!flags.has(static_cast<Flag>(i))) {
            continue;
        }
        if (!text.empty()) {
            text += ',';
        }
        text += terms_of<Flag>()[i].name;
    }
    return text;
}

Flags flags_from_text(std::string_view text) {
    Flags flags;
    while (!text.empty()) {
        const std::size_t comma = std::min(text.find(','), text.size());
        if (const auto flag = from_text<Flag>(text.substr(0, comma))) {
            flags.add(*flag);
        }
        text.remove_prefix(std::min(comma + 1, text.size()));
    }
    return flags;
}

}  // namespace eaveshed
