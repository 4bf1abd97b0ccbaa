// What an input file was when it was read: size, time and a digest of its content.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

namespace eaveshed {

struct Fingerprint {
    std::string path_as_given;
    std::uint64_t size = 0;    // bytes
    std::string modified_utc;  // 2026-11-25T10:13:00Z, whole seconds
    std::string sha256;        // 64 hexadecimal digits, lower case
    friend bool operator==(const Fingerprint&, const Fingerprint&) = default;
};

enum class Digest : std::uint8_t {
    // SHA-256 of the size (8 bytes, little-endian), then the first and the last MiB. A file of up to 2 MiB goes in
    // whole
    // and once.
    ends,
    // SHA-256 of the content alone: what common tools print for the file.
    whole,
    // None: size and time alone, where the content was looked at before.
    left_out,
};

// A Zarr store (paths.hpp) stands for all files in its folder: the sum of their sizes, the newest time, and the SHA-256
// of their names, sizes and digests in the order of their names.
//
// A file behind an address is asked for anew: its size and time as its server tells them (no time where it tells none),
// and the digests of the same bytes, through ranges.
//
// `path` is opened, `path_as_given` is what the record says. A file that cannot be read is a working error naming
// `where`. Reads at most 2 MiB for `ends`; memory is bounded for both.
[[nodiscard]] Fingerprint fingerprint(const std::string& where, const std::string& path,
                                      const std::string& path_as_given, Digest digest);

// When the file was last written, as in its fingerprint; empty where it cannot be asked.
[[nodiscard]] std::string modified_utc(const std::string& path);

// The digest of bytes in memory (FIPS 180-4), in hexadecimal.
[[nodiscard]] std::string sha256_hex(std::span<const unsigned char> bytes);

}  // namespace eaveshed
