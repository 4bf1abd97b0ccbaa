// Folders and drafts that belong to one run.
#include <dirent.h>
#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <random>
#include <utility>

#include <fmt/format.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/files/file.hpp"
#include "system_failure.hpp"

namespace eaveshed {

namespace {

namespace fs = std::filesystem;

constexpr mode_t kFolderMode = 0755;  // only the owner writes
constexpr const char* kLockName = "lock";
constexpr std::string_view kMark = "work folder of eaveshed\n";  // what the lock says

// Whether the lock says that it is ours. An empty one is, where nothing stands beside it: whoever made it was killed.
bool has_mark(const fs::path& path) {
    const int lock = ::open((path / kLockName).c_str(), O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK);
    if (lock < 0) {
        return false;
    }
    std::array<char, kMark.size() + 1> said{};
    const ssize_t size = ::read(lock, said.data(), said.size());
    ::close(lock);
    std::error_code fault;
    const bool alone = std::distance(fs::directory_iterator(path, fault), {}) == 1;
    return (size == 0 && alone) || (size > 0 && std::string_view(said.data(), static_cast<std::size_t>(size)) == kMark);
}

bool is_own_folder(const fs::path& path) {
    struct stat status {};
    return ::lstat(path.c_str(), &status) == 0 && S_ISDIR(status.st_mode) && status.st_uid == ::geteuid();
}

// What is cleared away must have been ours: a folder, not a link to one, with our lock in it or with nothing.
void require_ours(const fs::path& path) {
    std::error_code fault;
    const bool is_folder = fs::is_directory(fs::symlink_status(path, fault));
    if (!is_folder || !is_own_folder(path) || !(fs::is_empty(path, fault) || has_mark(path))) {
        throw input_error(path.string(), is_folder ? "a folder that is not a run's" : "something that is no folder",
                          "a name that is free for the work folder", "move it away, or give another output with -o");
    }
}

// Whether the name still leads to the open file: whoever had the lock before may have removed it.
bool still_there(int descriptor, const fs::path& path) {
    struct stat open {};
    struct stat named {};
    return ::fstat(descriptor, &open) == 0 && ::lstat(path.c_str(), &named) == 0 && open.st_ino == named.st_ino &&
           open.st_dev == named.st_dev;
}

bool among(std::span<const std::string_view> names, const std::string& name) {
    return name == kLockName || std::ranges::find(names, name) != names.end();
}

// "plan/" is "plan": with a slash behind it a link would be followed.
fs::path without_slash(const fs::path& path) {
    return path.has_filename() ? path : path.parent_path();
}

}  // namespace

namespace {

// What no later try changes is told as wrong words.
[[noreturn]] void fail_to_make(const fs::path& path) {
    constexpr std::array kForGood{EACCES, EPERM, EROFS, ENAMETOOLONG, ENOTDIR, ENOENT};
    const int code = errno;
    if (std::ranges::find(kForGood, code) != kForGood.end()) {
        throw input_error(path.string(), std::string("the work folder cannot be made: ") + std::strerror(code),
                          "a folder that may be written to", "give another output with -o");
    }
    fail_by_errno(path, "the work folder cannot be made");
}

// Takes back what was begun, unless it came to an end.
struct Begun {
    ~Begun() {
        if (!done && lock >= 0) {
            ::close(lock);
        }
        if (!done && made) {
            ::unlink((path / kLockName).c_str());
            ::rmdir(path.c_str());
        }
    }
    const fs::path& path;
    bool made = false;
    bool done = false;
    int lock = -1;
};

}  // namespace

WorkFolder::WorkFolder(const fs::path& path, std::span<const std::string_view> but_for) : m_path(without_slash(path)) {
    Begun begun{.path = m_path};
    begun.made = ::mkdir(m_path.c_str(), kFolderMode) == 0;
    if (!begun.made) {
        if (errno != EEXIST) {
            fail_to_make(m_path);
        }
        require_ours(m_path);
    }
    begun.lock = ::open((m_path / kLockName).c_str(), O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0644);
    if (begun.lock < 0) {
        fail_by_errno(m_path, "the work folder cannot be locked");
    }
    if (::flock(begun.lock, LOCK_EX | LOCK_NB) != 0 || !still_there(begun.lock, m_path / kLockName)) {
        begun.made = false;  // it is somebody else's now
        throw Error(Fault::passing, {m_path.string(), "another run at work in this folder", "",
                                     "wait until it is done, or give another output with -o"});
    }
    if (::pwrite(begun.lock, kMark.data(), kMark.size(), 0) != static_cast<ssize_t>(kMark.size())) {
        fail_by_errno(m_path, "the work folder cannot be locked", kMark.size());
    }
    begun.done = true;
    m_lock = begun.lock;
    remove_all_but(but_for);
}

WorkFolder::~WorkFolder() {
    end();
}

bool WorkFolder::remove() {
    m_kept.clear();
    end();
    std::error_code fault;
    return !fs::exists(fs::symlink_status(m_path, fault));
}

// The lock goes last: what is left when a process is killed meanwhile is known as ours.
void WorkFolder::end() {
    if (m_lock < 0) {
        return;
    }
    remove_all_but(m_kept);
    std::error_code ignored;
    if (m_kept.empty() && std::distance(fs::directory_iterator(m_path, ignored), {}) == 1) {
        ::unlink((m_path / kLockName).c_str());
        ::rmdir(m_path.c_str());
    }
    ::close(std::exchange(m_lock, -1));
}

void WorkFolder::remove_all_but(std::span<const std::string_view> files) const {
    std::error_code ignored;
    std::vector<fs::path> gone;
    for (const auto& entry : fs::directory_iterator(m_path, ignored)) {
        if (!among(files, entry.path().filename().string())) {
            gone.push_back(entry.path());
        }
    }
    for (const fs::path& path : gone) {
        fs::remove_all(path, ignored);
    }
}

void make_folder(const fs::path& path) {
    if (::mkdir(path.c_str(), kFolderMode) != 0 && errno != EEXIST) {
        fail_by_errno(path, "the folder cannot be made");
    }
}

void remove_dead_work_folder(const fs::path& path) {
    std::error_code fault;
    if (!is_own_folder(path) || !(fs::is_empty(path, fault) || has_mark(path))) {
        return;
    }
    try {
        const WorkFolder dead(path);
    } catch (const Error&) {
        return;  // in use, or not to be opened: it is not what was asked for
    }
}

bool is_work_folder(const fs::path& path) {
    return is_own_folder(path) && has_mark(path);
}

namespace {

std::string own_name(const std::string& prefix) {
    std::array<char, 256> host{};
    if (::gethostname(host.data(), host.size() - 1) != 0) {
        host.front() = '-';
    }
    std::random_device chance;
    return fmt::format("{}{}-{}-{:08x}", prefix, host.data(), ::getpid(), chance());
}

}  // namespace

DraftFile::DraftFile(const fs::path& folder, const std::string& prefix, bool only_owner)
    : m_path(folder / own_name(prefix)) {
    const mode_t readers = only_owner ? S_IRUSR | S_IWUSR : 0644;
    m_descriptor = ::open(m_path.c_str(), O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, readers);
    if (m_descriptor < 0) {
        fail_by_errno(m_path, "cannot be created");
    }
    static_cast<void>(::flock(m_descriptor, LOCK_EX | LOCK_NB));  // a file system without locks has none to see
    m_goes.emplace(m_path);
}

DraftFile::~DraftFile() {
    std::error_code ignored;
    fs::remove(m_path, ignored);  // where it was put in place it is gone from here
    ::close(m_descriptor);
}

void remove_dead_drafts(const fs::path& folder, const std::string& prefix) {
    std::error_code ignored;
    for (const auto& entry : fs::directory_iterator(folder, ignored)) {
        if (!entry.path().filename().string().starts_with(prefix)) {
            continue;
        }
        const int draft = ::open(entry.path().c_str(), O_RDWR | O_CLOEXEC | O_NOFOLLOW);
        if (draft >= 0 && ::flock(draft, LOCK_EX | LOCK_NB) == 0) {
            fs::remove(entry.path(), ignored);
        }
        if (draft >= 0) {
            ::close(draft);
        }
    }
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
    m_goes.emplace(m_path);
}

// Twice where it has to be: what lies in it may be personal.
ScratchFolder::~ScratchFolder() {
    std::error_code fault;
    for (int i = 0; i < 2 && std::filesystem::exists(m_path, fault); ++i) {
        std::filesystem::remove_all(m_path, fault);
    }
}

}  // namespace eaveshed
