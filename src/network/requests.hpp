// One request for a range of bytes. Private to the module.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace eaveshed {

struct Answer {
    long status = 0;             // of HTTP; 0 where none came
    std::string failure;         // what went wrong before an answer was whole; empty when it is
    bool worth_a_retry = false;  // of such a failure
    long retry_after_s = 0;      // as the server asks
    std::string location;        // where it sends on to
    bool encoded = false;        // packed on the way, so that ranges mean something else
    // Of a part (206):
    std::uint64_t first = 0;
    std::uint64_t total = 0;  // bytes of the whole file
    std::optional<std::int64_t> modified;
    std::string tag;
    std::vector<unsigned char> bytes;
};

// Asks `url` for the bytes [first, end), once. Follows no redirect, takes no more than was asked for, knows no proxy
// and speaks http and https only.
[[nodiscard]] Answer request_range(const std::string& url, std::uint64_t first, std::uint64_t end);

struct RequestCounts {
    std::uint64_t requests = 0;
    std::uint64_t bytes = 0;
};
[[nodiscard]] RequestCounts request_counts();
void forget_request_counts();

// Files of an earlier run: see forget_network().
void forget_remote_files();

}  // namespace eaveshed
