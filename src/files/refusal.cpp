#include "eaveshed/files/refusal.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <system_error>
#include <vector>

#include "eaveshed/files/file.hpp"
#include "system_failure.hpp"

namespace eaveshed {

Refusal::Refusal() {
    errno = 0;
}

// Not among them is what libraries meet on their way and live with: files beside a file that are not there, channels
// that are no terminals.
void Refusal::rethrow(const std::filesystem::path& file) const {
    constexpr std::array kRefusals{EIO, ESTALE, ETIMEDOUT, EMFILE, ENFILE, ENOMEM, EHOSTDOWN, EHOSTUNREACH, ENOSPC};
    if (std::ranges::find(kRefusals, errno) != kRefusals.end()) {
        fail_by_errno(file, "cannot be read");
    }
}

void require_readable(const std::filesystem::path& file) {
    std::error_code fault;
    if (!std::filesystem::is_regular_file(file, fault)) {
        return;
    }
    const File read(file, File::Mode::read);
    std::vector<unsigned char> bytes(std::size_t{1} << 20U);
    std::uint64_t offset = 0;
    while (const std::size_t got = read.read_some(offset, bytes)) {
        offset += got;
    }
}

}  // namespace eaveshed
