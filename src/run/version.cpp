#include "eaveshed/run/version.hpp"

#include "eaveshed/io/library_versions.hpp"

namespace eaveshed::run {

std::string program_version() {
    return EAVESHED_VERSION;
}

std::vector<std::pair<std::string, std::string>> library_versions() {
    return io::library_versions();
}

}  // namespace eaveshed::run
