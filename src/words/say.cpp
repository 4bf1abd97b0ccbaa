#include "eaveshed/words/say.hpp"

#include <cstdio>

namespace eaveshed {

void say(std::string_view text) {
    static_cast<void>(std::fwrite(text.data(), 1, text.size(), stderr));
    static_cast<void>(std::fflush(stderr));
}

}  // namespace eaveshed
