#include "eaveshed/files/file.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <string>
#include <utility>

#include "eaveshed/core/error.hpp"
#include "eaveshed/words/room.hpp"
#include "system_failure.hpp"

namespace eaveshed {

bool may_pass(int code) {
    constexpr std::array kPassing{ESTALE, ETIMEDOUT, EAGAIN, EBUSY, EMFILE, ENFILE, ENOMEM, EHOSTDOWN, EHOSTUNREACH};
    return std::ranges::find(kPassing, code) != kPassing.end();
}

void fail_by_errno(const std::filesystem::path& path, const std::string& what, std::uint64_t needed) {
    const int code = errno;
    std::string reason = what + ": " + std::strerror(code);  // NOLINT(concurrency-mt-unsafe)
    if (code == ENOSPC || code == EDQUOT) {
        const std::string room = room_text(path, needed);
        reason += room.empty() ? "" : " (" + room + ")";
        throw Error(Fault::passing, {path.string(), reason, "", "free some room there, then run again"});
    }
    if (may_pass(code)) {
        throw Error(Fault::passing, {path.string(), reason, "", "run again in a while"});
    }
    if (code == ELOOP) {
        throw working_error(path.string(), "a link where a file is to be written", "a name that is free",
                            "remove the link, or name another file");
    }
    if (code == EIO) {
        throw working_error(path.string(), reason, "", "look at the disk, or at the way to it, then run again");
    }
    throw working_error(path.string(), reason, "", "check that the folder exists and may be written to");
}

namespace {

int flags_of(File::Mode mode) {
    constexpr int kWritten = O_RDWR | O_CREAT | O_NOFOLLOW;
    switch (mode) {
        case File::Mode::read: return O_RDONLY;
        case File::Mode::create:
        case File::Mode::create_private: return kWritten | O_TRUNC;
        case File::Mode::create_new: return kWritten | O_EXCL;
        case File::Mode::update: break;
    }
    return kWritten;
}

}  // namespace

File::File(const std::filesystem::path& path, Mode mode) : m_path(path) {
    const mode_t permissions = mode == Mode::create_private ? S_IRUSR | S_IWUSR : 0644;
    m_descriptor = ::open(path.c_str(), flags_of(mode) | O_CLOEXEC, permissions);
    if (m_descriptor < 0) {
        fail_by_errno(path, mode == Mode::read ? "cannot be opened" : "cannot be created");
    }
}

File File::unnamed() {
    std::string path = (std::filesystem::temp_directory_path() / "eaveshed-XXXXXX").string();
    const int descriptor = ::mkostemp(path.data(), O_CLOEXEC);
    if (descriptor < 0) {
        fail_by_errno(path, "cannot be created");
    }
    ::unlink(path.c_str());
    return {path, descriptor};
}

File::~File() {
    if (m_descriptor >= 0) {
        ::close(m_descriptor);
    }
}

File::File(File&& other) noexcept
    : m_path(std::move(other.m_path)), m_descriptor(std::exchange(other.m_descriptor, -1)) {}

File& File::operator=(File&& other) noexcept {
    std::swap(m_path, other.m_path);
    std::swap(m_descriptor, other.m_descriptor);
    return *this;
}

void File::write_at(std::uint64_t offset, std::span<const unsigned char> bytes) {
    while (!bytes.empty()) {
        const ssize_t done = ::pwrite(m_descriptor, bytes.data(), bytes.size(), static_cast<off_t>(offset));
        if (done < 0 && errno == EINTR) {
            continue;
        }
        if (done < 0) {
            fail_by_errno(m_path, "cannot be written", bytes.size());
        }
        offset += static_cast<std::uint64_t>(done);
        bytes = bytes.subspan(static_cast<std::size_t>(done));
    }
}

std::size_t File::read_some(std::uint64_t offset, std::span<unsigned char> bytes) const {
    std::size_t got = 0;
    while (got < bytes.size()) {
        const ssize_t done =
            ::pread(m_descriptor, bytes.data() + got, bytes.size() - got, static_cast<off_t>(offset + got));
        if (done < 0 && errno == EINTR) {
            continue;
        }
        if (done < 0) {
            fail_by_errno(m_path, "cannot be read");
        }
        if (done == 0) {
            break;
        }
        got += static_cast<std::size_t>(done);
    }
    return got;
}

void File::read_at(std::uint64_t offset, std::span<unsigned char> bytes) const {
    if (read_some(offset, bytes) < bytes.size()) {
        throw working_error(m_path.string(), "a file that ends too early", "", "run again");
    }
}

std::uint64_t File::size() const {
    struct stat status {};
    if (::fstat(m_descriptor, &status) != 0) {
        fail_by_errno(m_path, "cannot be looked at");
    }
    return static_cast<std::uint64_t>(status.st_size);
}

void File::cut(std::uint64_t size) {
    if (::ftruncate(m_descriptor, static_cast<off_t>(size)) != 0) {
        fail_by_errno(m_path, "cannot be cut to its length");
    }
}

void File::sync() {
    if (::fsync(m_descriptor) != 0) {
        fail_by_errno(m_path, "cannot be brought to disk");
    }
}

void move_into_place(const std::filesystem::path& from, const std::filesystem::path& to) {
    if (::rename(from.c_str(), to.c_str()) != 0) {
        fail_by_errno(to, "cannot be put in place");
    }
}

void publish(const std::filesystem::path& from, const std::filesystem::path& to) {
    {
        const int descriptor = ::open(from.c_str(), O_RDONLY | O_CLOEXEC);
        if (descriptor < 0 || ::fsync(descriptor) != 0) {
            if (descriptor >= 0) {
                ::close(descriptor);
            }
            fail_by_errno(from, "cannot be brought to disk");
        }
        ::close(descriptor);
    }
    move_into_place(from, to);
    const std::filesystem::path folder = to.has_parent_path() ? to.parent_path() : std::filesystem::path(".");
    const int descriptor = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (descriptor >= 0) {
        // Some file systems refuse to sync a folder; the rename itself has happened.
        static_cast<void>(::fsync(descriptor));
        ::close(descriptor);
    }
}

}  // namespace eaveshed
