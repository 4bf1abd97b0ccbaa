// Loaded before the program under test (LD_PRELOAD): the Nth call of one kind fails as it would on a failing disk, or
// something else happens just before it. Calls go to the kernel directly, so nothing here waits on what is replaced.
//
//   EAVESHED_FAULT_CALL    open read write sync rename unlink cut folder map allocate
//   EAVESHED_FAULT_AT      the call that is struck, from 1; 0: none, and the mark says how many there were
//   EAVESHED_FAULT_ON      set: every later one too
//   EAVESHED_FAULT_DO      a number: errno of the call, which does nothing; else "kill", "term", "cut FILE", "hide
//   PATH"
//                          (renamed to PATH.hidden), and the call goes on
//   EAVESHED_FAULT_UNDER   only calls about files whose path begins so
//   EAVESHED_FAULT_BYTES   of writes: instead of AT, the disk is full after so many bytes
//   EAVESHED_FAULT_LEAST   of allocations: only those of so many bytes or more
//   EAVESHED_FAULT_MARK    a file that tells what was struck
#include <fcntl.h>
#include <signal.h>
#include <sys/syscall.h>
#include <sys/types.h>
#include <sys/uio.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <cerrno>
#include <climits>
#include <cstdarg>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <cstring>

namespace {

struct Orders {
    const char* call = nullptr;
    const char* action = "";
    const char* under = nullptr;
    const char* mark = nullptr;
    long at = 0;
    long bytes = -1;
    std::size_t least = 0;
    bool on = false;
};

Orders g_orders;                     // NOLINT(cppcoreguidelines-avoid-non-const-global-variables)
std::atomic<long> g_calls{0};        // NOLINT(cppcoreguidelines-avoid-non-const-global-variables)
std::atomic<long> g_written{0};      // NOLINT(cppcoreguidelines-avoid-non-const-global-variables)
std::atomic<bool> g_struck{false};   // NOLINT(cppcoreguidelines-avoid-non-const-global-variables)
thread_local bool t_inside = false;  // NOLINT(cppcoreguidelines-avoid-non-const-global-variables)

long open_directly(const char* path, int flags, mode_t mode) {
    return ::syscall(SYS_openat, AT_FDCWD, path, flags, mode);
}

void mark(const char* what, long number, const char* path) {
    if (g_orders.mark == nullptr) {
        return;
    }
    std::array<char, PATH_MAX + 100> text{};
    const int size = std::snprintf(text.data(), text.size(), "%s %ld %s\n", what, number, path);
    const long file = open_directly(g_orders.mark, O_WRONLY | O_CREAT | O_TRUNC, 0644);
    if (file >= 0 && size > 0) {
        ::syscall(SYS_write, file, text.data(), std::min(static_cast<std::size_t>(size), text.size()));
    }
    ::syscall(SYS_close, file);
}

// The path of an open file; empty where there is none.
struct PathOf {
    explicit PathOf(int descriptor) {
        std::array<char, 64> link{};
        std::snprintf(link.data(), link.size(), "/proc/self/fd/%d", descriptor);
        const long size = ::syscall(SYS_readlinkat, AT_FDCWD, link.data(), text.data(), text.size() - 1);
        text.at(size > 0 ? static_cast<std::size_t>(size) : 0) = '\0';
    }
    std::array<char, PATH_MAX> text{};
};

// A relative path begins where the process works.
bool begins_under(const char* path) {
    std::array<char, 2 * PATH_MAX> whole{};
    std::size_t length = 0;
    if (path[0] != '/') {
        const long size = ::syscall(SYS_getcwd, whole.data(), PATH_MAX);
        length = size > 0 ? static_cast<std::size_t>(size) : 1;
        whole.at(length - 1) = '/';
    }
    std::strncpy(whole.data() + length, path, PATH_MAX - 1);
    return std::strncmp(whole.data(), g_orders.under, std::strlen(g_orders.under)) == 0;
}

bool concerns(const char* call, const char* path) {
    return g_orders.call != nullptr && std::strcmp(g_orders.call, call) == 0 &&
           (g_orders.under == nullptr || (path != nullptr && begins_under(path)));
}

// What happens at the struck call. Whether the call fails, with errno set.
bool act() {
    const char* const action = g_orders.action;
    if (std::strcmp(action, "kill") == 0) {
        ::syscall(SYS_kill, ::getpid(), SIGKILL);
    } else if (std::strcmp(action, "term") == 0) {
        ::syscall(SYS_kill, ::getpid(), SIGTERM);
    } else if (std::strncmp(action, "cut ", 4) == 0) {
        ::syscall(SYS_truncate, action + 4, 100);
    } else if (std::strncmp(action, "hide ", 5) == 0) {
        std::array<char, PATH_MAX> hidden{};
        std::snprintf(hidden.data(), hidden.size(), "%s.hidden", action + 5);
        ::syscall(SYS_renameat2, AT_FDCWD, action + 5, AT_FDCWD, hidden.data(), 0);
    } else {
        errno = std::atoi(action);
        return true;
    }
    return false;
}

bool strikes(const char* call, const char* path) {
    if (t_inside || !concerns(call, path) || g_orders.bytes >= 0) {
        return false;
    }
    const long number = ++g_calls;
    if (g_orders.at == 0 || (g_orders.on ? number < g_orders.at : number != g_orders.at)) {
        return false;
    }
    t_inside = true;
    if (!g_struck.exchange(true)) {
        mark(call, number, path == nullptr ? "" : path);
    }
    const bool fails = act();
    t_inside = false;
    return fails;
}

bool strikes(const char* call, int descriptor) {
    if (t_inside || !concerns(call, g_orders.under)) {
        return false;
    }
    const PathOf path(descriptor);
    return strikes(call, path.text.data());
}

// How many of the bytes the disk still takes: all, or fewer where it is full.
std::size_t taken(int descriptor, std::size_t bytes) {
    if (t_inside || g_orders.bytes < 0 || !concerns("write", g_orders.under)) {
        return bytes;
    }
    const PathOf path(descriptor);
    if (!concerns("write", path.text.data())) {
        return bytes;
    }
    const long before = g_written.fetch_add(static_cast<long>(bytes));
    const long left = std::max(0L, g_orders.bytes - before);
    if (left >= static_cast<long>(bytes)) {
        return bytes;
    }
    if (!g_struck.exchange(true)) {
        mark("full", before, path.text.data());
    }
    return static_cast<std::size_t>(left);
}

long number_in(const char* name, long otherwise) {
    const char* const text = std::getenv(name);
    return text == nullptr ? otherwise : std::atol(text);
}

__attribute__((constructor)) void take_orders() {
    g_orders.action = std::getenv("EAVESHED_FAULT_DO") != nullptr ? std::getenv("EAVESHED_FAULT_DO") : "5";
    g_orders.under = std::getenv("EAVESHED_FAULT_UNDER");
    g_orders.mark = std::getenv("EAVESHED_FAULT_MARK");
    g_orders.at = number_in("EAVESHED_FAULT_AT", 0);
    g_orders.bytes = number_in("EAVESHED_FAULT_BYTES", -1);
    g_orders.least = static_cast<std::size_t>(number_in("EAVESHED_FAULT_LEAST", 0));
    g_orders.on = std::getenv("EAVESHED_FAULT_ON") != nullptr;
    g_orders.call = std::getenv("EAVESHED_FAULT_CALL");
}

__attribute__((destructor)) void tell_the_count() {
    if (!g_struck) {
        mark("none", g_orders.bytes >= 0 ? g_written.load() : g_calls.load(), "");
    }
    g_orders.call = nullptr;
}

long open_or_fail(int folder, const char* path, int flags, mode_t mode) {
    return strikes("open", path) ? -1 : ::syscall(SYS_openat, folder, path, flags, mode);
}

long write_or_fail(long call, int file, const void* bytes, std::size_t size, off_t offset) {
    const std::size_t most = taken(file, size);
    if (most == 0 && size > 0) {
        errno = ENOSPC;
        return -1;
    }
    return strikes("write", file) ? -1 : ::syscall(call, file, bytes, most, offset);
}

bool no_room_for(std::size_t bytes) {
    return bytes >= g_orders.least && g_orders.call != nullptr &&
           strikes("allocate", static_cast<const char*>(nullptr));
}

mode_t mode_in(va_list words, int flags) {
    return (flags & (O_CREAT | __O_TMPFILE)) != 0 ? static_cast<mode_t>(va_arg(words, unsigned)) : 0;
}

}  // namespace

// Each under the C library's name for it, which the headers declare with attributes of their own.
#define EAVESHED_STANDS_FOR(name) __asm__(#name)

extern "C" {

void* __libc_malloc(std::size_t bytes);                     // NOLINT(bugprone-reserved-identifier)
void* __libc_calloc(std::size_t count, std::size_t bytes);  // NOLINT(bugprone-reserved-identifier)
void* __libc_realloc(void* block, std::size_t bytes);       // NOLINT(bugprone-reserved-identifier)

int fault_open(const char* path, int flags, ...) EAVESHED_STANDS_FOR(open);
int fault_open64(const char* path, int flags, ...) EAVESHED_STANDS_FOR(open64);
int fault_open_2(const char* path, int flags) EAVESHED_STANDS_FOR(__open_2);
int fault_open64_2(const char* path, int flags) EAVESHED_STANDS_FOR(__open64_2);
int fault_openat(int folder, const char* path, int flags, ...) EAVESHED_STANDS_FOR(openat);
int fault_openat64(int folder, const char* path, int flags, ...) EAVESHED_STANDS_FOR(openat64);
ssize_t fault_read(int file, void* bytes, std::size_t size) EAVESHED_STANDS_FOR(read);
ssize_t fault_pread(int file, void* bytes, std::size_t size, off_t offset) EAVESHED_STANDS_FOR(pread);
ssize_t fault_pread64(int file, void* bytes, std::size_t size, off_t offset) EAVESHED_STANDS_FOR(pread64);
ssize_t fault_write(int file, const void* bytes, std::size_t size) EAVESHED_STANDS_FOR(write);
ssize_t fault_pwrite(int file, const void* bytes, std::size_t size, off_t offset) EAVESHED_STANDS_FOR(pwrite);
ssize_t fault_pwrite64(int file, const void* bytes, std::size_t size, off_t offset) EAVESHED_STANDS_FOR(pwrite64);
ssize_t fault_writev(int file, const iovec* parts, int count) EAVESHED_STANDS_FOR(writev);
int fault_fsync(int file) EAVESHED_STANDS_FOR(fsync);
int fault_fdatasync(int file) EAVESHED_STANDS_FOR(fdatasync);
int fault_rename(const char* from, const char* to) EAVESHED_STANDS_FOR(rename);
int fault_renameat2(int from_folder, const char* from, int to_folder, const char* to, unsigned flags)
    EAVESHED_STANDS_FOR(renameat2);
int fault_unlink(const char* path) EAVESHED_STANDS_FOR(unlink);
int fault_unlinkat(int folder, const char* path, int flags) EAVESHED_STANDS_FOR(unlinkat);
int fault_remove(const char* path) EAVESHED_STANDS_FOR(remove);
int fault_ftruncate(int file, off_t size) EAVESHED_STANDS_FOR(ftruncate);
int fault_ftruncate64(int file, off_t size) EAVESHED_STANDS_FOR(ftruncate64);
int fault_mkdir(const char* path, mode_t mode) EAVESHED_STANDS_FOR(mkdir);
void* fault_mmap(void* at, std::size_t size, int access, int flags, int file, off_t offset) EAVESHED_STANDS_FOR(mmap);
void* fault_mmap64(void* at, std::size_t size, int access, int flags, int file, off_t offset)
    EAVESHED_STANDS_FOR(mmap64);
void* fault_malloc(std::size_t bytes) EAVESHED_STANDS_FOR(malloc);
void* fault_calloc(std::size_t count, std::size_t bytes) EAVESHED_STANDS_FOR(calloc);
void* fault_realloc(void* block, std::size_t bytes) EAVESHED_STANDS_FOR(realloc);

int fault_open(const char* path, int flags, ...) {
    va_list words;
    va_start(words, flags);
    const mode_t mode = mode_in(words, flags);
    va_end(words);
    return static_cast<int>(open_or_fail(AT_FDCWD, path, flags, mode));
}
int fault_open64(const char* path, int flags, ...) {
    va_list words;
    va_start(words, flags);
    const mode_t mode = mode_in(words, flags);
    va_end(words);
    return static_cast<int>(open_or_fail(AT_FDCWD, path, flags, mode));
}
int fault_open_2(const char* path, int flags) {
    return static_cast<int>(open_or_fail(AT_FDCWD, path, flags, 0));
}
int fault_open64_2(const char* path, int flags) {
    return static_cast<int>(open_or_fail(AT_FDCWD, path, flags, 0));
}
int fault_openat(int folder, const char* path, int flags, ...) {
    va_list words;
    va_start(words, flags);
    const mode_t mode = mode_in(words, flags);
    va_end(words);
    return static_cast<int>(open_or_fail(folder, path, flags, mode));
}
int fault_openat64(int folder, const char* path, int flags, ...) {
    va_list words;
    va_start(words, flags);
    const mode_t mode = mode_in(words, flags);
    va_end(words);
    return static_cast<int>(open_or_fail(folder, path, flags, mode));
}

ssize_t fault_read(int file, void* bytes, std::size_t size) {
    return strikes("read", file) ? -1 : ::syscall(SYS_read, file, bytes, size);
}
ssize_t fault_pread(int file, void* bytes, std::size_t size, off_t offset) {
    return strikes("read", file) ? -1 : ::syscall(SYS_pread64, file, bytes, size, offset);
}
ssize_t fault_pread64(int file, void* bytes, std::size_t size, off_t offset) {
    return strikes("read", file) ? -1 : ::syscall(SYS_pread64, file, bytes, size, offset);
}
ssize_t fault_write(int file, const void* bytes, std::size_t size) {
    return write_or_fail(SYS_write, file, bytes, size, 0);
}
ssize_t fault_pwrite(int file, const void* bytes, std::size_t size, off_t offset) {
    return write_or_fail(SYS_pwrite64, file, bytes, size, offset);
}
ssize_t fault_pwrite64(int file, const void* bytes, std::size_t size, off_t offset) {
    return write_or_fail(SYS_pwrite64, file, bytes, size, offset);
}
ssize_t fault_writev(int file, const iovec* parts, int count) {
    return strikes("write", file) ? -1 : ::syscall(SYS_writev, file, parts, count);
}
int fault_fsync(int file) {
    return strikes("sync", file) ? -1 : static_cast<int>(::syscall(SYS_fsync, file));
}
int fault_fdatasync(int file) {
    return strikes("sync", file) ? -1 : static_cast<int>(::syscall(SYS_fdatasync, file));
}
int fault_rename(const char* from, const char* to) {
    return strikes("rename", to) ? -1 : static_cast<int>(::syscall(SYS_renameat2, AT_FDCWD, from, AT_FDCWD, to, 0));
}
int fault_renameat2(int from_folder, const char* from, int to_folder, const char* to, unsigned flags) {
    return strikes("rename", to) ? -1
                                 : static_cast<int>(::syscall(SYS_renameat2, from_folder, from, to_folder, to, flags));
}
int fault_unlink(const char* path) {
    return strikes("unlink", path) ? -1 : static_cast<int>(::syscall(SYS_unlinkat, AT_FDCWD, path, 0));
}
int fault_unlinkat(int folder, const char* path, int flags) {
    return strikes("unlink", path) ? -1 : static_cast<int>(::syscall(SYS_unlinkat, folder, path, flags));
}
int fault_remove(const char* path) {
    if (strikes("unlink", path)) {
        return -1;
    }
    const long done = ::syscall(SYS_unlinkat, AT_FDCWD, path, 0);
    return static_cast<int>(done != 0 && errno == EISDIR ? ::syscall(SYS_unlinkat, AT_FDCWD, path, AT_REMOVEDIR)
                                                         : done);
}
int fault_ftruncate(int file, off_t size) {
    return strikes("cut", file) ? -1 : static_cast<int>(::syscall(SYS_ftruncate, file, size));
}
int fault_ftruncate64(int file, off_t size) {
    return strikes("cut", file) ? -1 : static_cast<int>(::syscall(SYS_ftruncate, file, size));
}
int fault_mkdir(const char* path, mode_t mode) {
    return strikes("folder", path) ? -1 : static_cast<int>(::syscall(SYS_mkdirat, AT_FDCWD, path, mode));
}
void* fault_mmap(void* at, std::size_t size, int access, int flags, int file, off_t offset) {
    const bool fails = strikes("map", static_cast<const char*>(nullptr));
    return reinterpret_cast<void*>(fails ? -1L : ::syscall(SYS_mmap, at, size, access, flags, file, offset));
}
void* fault_mmap64(void* at, std::size_t size, int access, int flags, int file, off_t offset) {
    const bool fails = strikes("map", static_cast<const char*>(nullptr));
    return reinterpret_cast<void*>(fails ? -1L : ::syscall(SYS_mmap, at, size, access, flags, file, offset));
}
void* fault_malloc(std::size_t bytes) {
    return no_room_for(bytes) ? nullptr : __libc_malloc(bytes);
}
void* fault_calloc(std::size_t count, std::size_t bytes) {
    return no_room_for(count * bytes) ? nullptr : __libc_calloc(count, bytes);
}
void* fault_realloc(void* block, std::size_t bytes) {
    return no_room_for(bytes) ? nullptr : __libc_realloc(block, bytes);
}

}  // extern "C"
