#include "eaveshed/files/file.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <string>
#include <utility>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

[[noreturn]] void fail(const std::filesystem::path& path, const std::string& what) {
    const int code = errno;
    const std::string reason = what + ": " + std::strerror(code);  // NOLINT(concurrency-mt-unsafe)
    if (code == ENOSPC || code == EDQUOT) {
        throw Error(Fault::passing, {path.string(), reason, "", "free some room there, then run again"});
    }
    throw working_error(path.string(), reason, "", "check that the folder exists and may be written to");
}

}  // namespace

File::File(const std::filesystem::path& path, Mode mode) : m_path(path) {
    const int flags = mode == Mode::read ? O_RDONLY : (O_RDWR | O_CREAT | O_TRUNC);
    const mode_t permissions = mode == Mode::create_private ? S_IRUSR | S_IWUSR : 0644;
    m_descriptor = ::open(path.c_str(), flags | O_CLOEXEC, permissions);
    if (m_descriptor < 0) {
        fail(path, mode == Mode::read ? "cannot be opened" : "cannot be created");
    }
}

File File::unnamed() {
    std::string path = (std::filesystem::temp_directory_path() / "eaveshed-XXXXXX").string();
    const int descriptor = ::mkostemp(path.data(), O_CLOEXEC);
    if (descriptor < 0) {
        fail(path, "cannot be created");
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
            fail(m_path, "cannot be written");
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
            fail(m_path, "cannot be read");
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
        fail(m_path, "cannot be looked at");
    }
    return static_cast<std::uint64_t>(status.st_size);
}

void File::sync() {
    if (::fsync(m_descriptor) != 0) {
        fail(m_path, "cannot be brought to disk");
    }
}

void move_into_place(const std::filesystem::path& from, const std::filesystem::path& to) {
    if (::rename(from.c_str(), to.c_str()) != 0) {
        fail(to, "cannot be put in place");
    }
}

void publish(const std::filesystem::path& from, const std::filesystem::path& to) {
    {
        const int descriptor = ::open(from.c_str(), O_RDONLY | O_CLOEXEC);
        if (descriptor < 0 || ::fsync(descriptor) != 0) {
            if (descriptor >= 0) {
                ::close(descriptor);
            }
            fail(from, "cannot be brought to disk");
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

namespace {

// What is cleared away must have been ours: a folder, not a link to one, with our lock in it or with nothing.
void require_ours(const std::filesystem::path& path) {
    std::error_code fault;
    const bool is_folder = std::filesystem::is_directory(std::filesystem::symlink_status(path, fault));
    if (!is_folder || (!std::filesystem::exists(std::filesystem::symlink_status(path / "lock", fault)) &&
                       !std::filesystem::is_empty(path, fault))) {
        throw input_error(path.string(),
                          is_folder ? "a folder with files that are not a run's" : "something that is no folder",
                          "a name that is free for the work folder", "move it away, or give another output with -o");
    }
}

}  // namespace

WorkFolder::WorkFolder(const std::filesystem::path& path) : m_path(path) {
    if (::mkdir(path.c_str(), 0755) != 0) {
        if (errno != EEXIST) {
            fail(path, "the work folder cannot be made");
        }
        require_ours(path);
    }
    m_lock = ::open((path / "lock").c_str(), O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0644);
    if (m_lock < 0) {
        fail(path, "the work folder cannot be locked");
    }
    if (::flock(m_lock, LOCK_EX | LOCK_NB) != 0) {
        ::close(m_lock);
        throw Error(Fault::passing, {path.string(), "another run at work in this folder", "",
                                     "wait until it is done, or give another output with -o"});
    }
    for (const auto& entry : std::filesystem::directory_iterator(path)) {
        if (entry.path().filename() != "lock") {
            std::error_code ignored;
            std::filesystem::remove_all(entry.path(), ignored);
        }
    }
}

WorkFolder::~WorkFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(m_path, ignored);
    ::close(m_lock);
}

ScratchFolder::ScratchFolder() {
    std::error_code fault;
    const std::filesystem::path parent = std::filesystem::temp_directory_path(fault);
    std::string name = (parent / "eaveshed-XXXXXX").string();
    if (fault || ::mkdtemp(name.data()) == nullptr) {
        throw Error(Fault::passing, {parent.empty() ? "TMPDIR" : parent.string(),
                                     "no folder for temporary files that can be written to", "",
                                     "let the environment's TMPDIR name one with room in it, then run again"});
    }
    m_path = name;
}

ScratchFolder::~ScratchFolder() {
    std::error_code fault;
    std::filesystem::remove_all(m_path, fault);
}

std::uint64_t free_bytes(const std::filesystem::path& path) {
    std::error_code fault;
    const auto space = std::filesystem::space(path.empty() ? std::filesystem::path(".") : path, fault);
    return fault ? 0 : space.available;
}

}  // namespace eaveshed
