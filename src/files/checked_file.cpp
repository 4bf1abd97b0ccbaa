#include "eaveshed/files/checked_file.hpp"

#include <string>

#include "eaveshed/core/error.hpp"
#include "eaveshed/files/file.hpp"
#include "eaveshed/files/fingerprint.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kDigestChars = 64;

}  // namespace

void write_checked(const std::filesystem::path& path, std::span<const unsigned char> bytes) {
    const std::string digest = sha256_hex(bytes);
    File file(path, File::Mode::create);
    file.write_at(0, bytes);
    file.write_at(bytes.size(), {reinterpret_cast<const unsigned char*>(digest.data()), digest.size()});
}

std::vector<unsigned char> read_checked(const std::filesystem::path& path) {
    const File file(path, File::Mode::read);
    std::vector<unsigned char> bytes(file.size());
    file.read_at(0, bytes);
    const std::size_t size = bytes.size() < kDigestChars ? 0 : bytes.size() - kDigestChars;
    const std::string digest(bytes.begin() + static_cast<std::ptrdiff_t>(size), bytes.end());
    bytes.resize(size);
    if (sha256_hex(bytes) != digest) {
        throw working_error(path.string(), "a file of a plan with a checksum that does not fit",
                            "the file as it was written", "copy it again, or make the plan again");
    }
    return bytes;
}

}  // namespace eaveshed
