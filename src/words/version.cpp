#include "eaveshed/words/version.hpp"

namespace eaveshed {

std::string program_version() {
    return EAVESHED_VERSION;
}

}  // namespace eaveshed
