// Files behind an address, read by ranges of bytes: what is asked for travels, and no more.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

// What the server says of a file.
struct RemoteFacts {
    std::uint64_t size = 0;                // bytes
    std::optional<std::int64_t> modified;  // seconds since 1970, UTC; servers may leave it out
    std::string tag;                       // the server's own mark of this content; may be empty
    friend bool operator==(const RemoteFacts&, const RemoteFacts&) = default;
};

// Safe from several threads.
//
// A request that fails in passing (no connection, a connection cut, a server that is busy or out of order) is made
// again, five times in all with growing waits, and then is an error of the kind `passing`. What is not there, not
// allowed, moved elsewhere, or served whole only is an input error at opening and a working error later, and so is a
// file that is no longer what it was at opening. After its first error a file gives the same one to everybody.
class RemoteFile {
public:
    // Asks the server. `where` names the input in messages. No host is asked that was not allowed.
    RemoteFile(std::string where, const std::string& path);
    ~RemoteFile();
    RemoteFile(const RemoteFile&) = delete;
    RemoteFile& operator=(const RemoteFile&) = delete;

    // As at opening.
    [[nodiscard]] const RemoteFacts& facts() const;

    // Fills `bytes` from `offset` on, and says how many there were before the file's end.
    std::size_t read_at(std::uint64_t offset, std::span<unsigned char> bytes);

    // Asks again: what the file is now.
    [[nodiscard]] RemoteFacts ask();

    // The bytes [begin, end) in order, from the server and not from what was kept.
    void read_fresh(std::uint64_t begin, std::uint64_t end,
                    const std::function<void(std::span<const unsigned char>)>& take);

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

// The file of this process behind a path that is_address(); asked of the server when it is first named.
[[nodiscard]] std::shared_ptr<RemoteFile> remote_file(const std::string& where, const std::string& path);

// The same, or null where the server has no such file (404, 410) or hands out none (401, 403: stores that list nothing
// say so of what is not there).
[[nodiscard]] std::shared_ptr<RemoteFile> remote_file_if_there(const std::string& where, const std::string& path);

// A file that was opened before; null for any other. Asks nobody.
[[nodiscard]] std::shared_ptr<RemoteFile> opened_remote_file(const std::string& path);

// An error that a library in between could not hand on. The first one kept is thrown by throw_network_fault().
void keep_network_fault(const Error& error);
void throw_network_fault();

// What travelled since the process began, or since forget_network().
struct NetworkUse {
    std::uint64_t requests = 0;
    std::uint64_t bytes = 0;  // of content; headers left out
};
[[nodiscard]] NetworkUse network_use();

}  // namespace eaveshed
