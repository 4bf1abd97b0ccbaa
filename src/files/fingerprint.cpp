#include "eaveshed/files/fingerprint.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <system_error>
#include <utility>

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/files/paths.hpp"
#include "eaveshed/network/address.hpp"
#include "eaveshed/network/remote_file.hpp"
#include "eaveshed/stop/stop.hpp"
#include "sha256.hpp"

namespace eaveshed {

namespace {

constexpr std::uint64_t kMiB = std::uint64_t{1} << 20U;

// A file open for reading; throws with the system's reason.
class InputFile {
public:
    InputFile(std::string where, const std::string& path)
        : m_where(std::move(where)), m_descriptor(::open(path.c_str(), O_RDONLY | O_CLOEXEC)), m_buffer(kMiB) {
        if (m_descriptor < 0) {
            fail();
        }
    }
    ~InputFile() {
        if (m_descriptor >= 0) {
            ::close(m_descriptor);
        }
    }
    InputFile(const InputFile&) = delete;
    InputFile& operator=(const InputFile&) = delete;

    [[nodiscard]] struct stat status() const {
        struct stat found {};
        if (::fstat(m_descriptor, &found) != 0) {
            fail();
        }
        return found;
    }

    // Feeds the bytes [begin, end) to the digest.
    void feed(Sha256& sum, std::uint64_t begin, std::uint64_t end) {
        while (begin < end) {
            stop_if_requested();
            const std::uint64_t wanted = std::min<std::uint64_t>(end - begin, m_buffer.size());
            const ssize_t got = ::pread(m_descriptor, m_buffer.data(), wanted, static_cast<off_t>(begin));
            if (got < 0 && errno == EINTR) {
                continue;
            }
            if (got < 0) {
                fail();
            }
            if (got == 0) {
                throw working_error(m_where, fmt::format("a file that ends after {} bytes while it is read", begin),
                                    fmt::format("{} bytes, as it had a moment before", end),
                                    "close the program that writes to it and run again");
            }
            sum.add({m_buffer.data(), static_cast<std::size_t>(got)});
            begin += static_cast<std::uint64_t>(got);
        }
    }

private:
    [[noreturn]] void fail() const {
        throw working_error(m_where, "a file that cannot be read: " + std::generic_category().message(errno), "",
                            "check its permissions and the disk it is on");
    }

    std::string m_where;
    int m_descriptor;
    std::vector<unsigned char> m_buffer;
};

std::array<unsigned char, 8> little_endian(std::uint64_t value) {
    std::array<unsigned char, 8> bytes{};
    for (unsigned char& byte : bytes) {
        byte = static_cast<unsigned char>(value & 0xFFU);
        value >>= 8U;
    }
    return bytes;
}

std::string utc_text(std::int64_t seconds) {
    const std::chrono::sys_seconds time{std::chrono::seconds{seconds}};
    const auto day = std::chrono::floor<std::chrono::days>(time);
    const std::chrono::year_month_day date{day};
    const std::chrono::hh_mm_ss clock{time - day};
    return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}Z", static_cast<int>(date.year()),
                       static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()), clock.hours().count(),
                       clock.minutes().count(), clock.seconds().count());
}

}  // namespace

namespace {

Fingerprint fingerprint_of_folder(const std::string& where, const std::string& path, const std::string& path_as_given,
                                  Digest digest) {
    std::vector<std::string> names;
    std::error_code fault;
    for (std::filesystem::recursive_directory_iterator entry(path, fault), end; !fault && entry != end;
         entry.increment(fault)) {
        if (entry->is_regular_file(fault)) {
            names.push_back(entry->path().lexically_relative(path).generic_string());
        }
    }
    if (fault) {
        throw working_error(where, "a folder that cannot be read: " + fault.message(), "",
                            "check its permissions and the disk it is on");
    }
    std::sort(names.begin(), names.end());
    Fingerprint whole{path_as_given, 0, "", ""};
    Sha256 sum;
    for (const std::string& name : names) {
        const Fingerprint one = fingerprint(where, (std::filesystem::path(path) / name).string(), name, digest);
        whole.size += one.size;
        whole.modified_utc = std::max(whole.modified_utc, one.modified_utc);
        const std::string line = fmt::format("{} {} {}\n", name, one.size, one.sha256);
        sum.add({reinterpret_cast<const unsigned char*>(line.data()), line.size()});
    }
    whole.sha256 = digest == Digest::left_out ? "" : sum.hex();
    return whole;
}

// As of a file here: the same content has the same digest wherever it lies.
Fingerprint fingerprint_there(const std::string& where, const std::string& path, const std::string& path_as_given,
                              Digest digest) {
    const std::shared_ptr<RemoteFile> file = remote_file(where, path);
    const RemoteFacts now = file->ask();
    Fingerprint print{path_as_given, now.size, now.modified ? utc_text(*now.modified) : "", ""};
    if (digest == Digest::left_out) {
        return print;
    }
    Sha256 sum;
    const auto feed = [&](std::uint64_t begin, std::uint64_t end) {
        file->read_fresh(begin, end, [&sum](std::span<const unsigned char> bytes) { sum.add(bytes); });
    };
    if (digest == Digest::whole) {
        feed(0, now.size);
    } else {
        sum.add(little_endian(now.size));
        const std::uint64_t first_end = std::min(now.size, kMiB);
        feed(0, first_end);
        feed(std::max(first_end, now.size > kMiB ? now.size - kMiB : 0), now.size);
    }
    print.sha256 = sum.hex();
    return print;
}

}  // namespace

Fingerprint fingerprint(const std::string& where, const std::string& path, const std::string& path_as_given,
                        Digest digest) {
    if (is_address(path)) {
        return fingerprint_there(where, path, path_as_given, digest);
    }
    if (is_zarr_store(path)) {
        return fingerprint_of_folder(where, path, path_as_given, digest);
    }
    InputFile file(where, path);
    const struct stat status = file.status();
    const auto size = static_cast<std::uint64_t>(status.st_size);
    if (digest == Digest::left_out) {
        return {path_as_given, size, utc_text(static_cast<std::int64_t>(status.st_mtim.tv_sec)), ""};
    }
    Sha256 sum;
    if (digest == Digest::whole) {
        file.feed(sum, 0, size);
    } else {
        sum.add(little_endian(size));
        const std::uint64_t first_end = std::min(size, kMiB);
        const std::uint64_t last_begin = size > kMiB ? std::max(first_end, size - kMiB) : first_end;
        file.feed(sum, 0, first_end);
        file.feed(sum, last_begin, size);
    }
    return {path_as_given, size, utc_text(static_cast<std::int64_t>(status.st_mtim.tv_sec)), sum.hex()};
}

std::string modified_utc(const std::string& path) {
    if (is_address(path)) {
        const std::shared_ptr<RemoteFile> file = opened_remote_file(path);
        return file != nullptr && file->facts().modified ? utc_text(*file->facts().modified) : "";
    }
    struct stat found {};
    return ::stat(path.c_str(), &found) == 0 ? utc_text(static_cast<std::int64_t>(found.st_mtim.tv_sec)) : "";
}

std::string sha256_hex(std::span<const unsigned char> bytes) {
    Sha256 sum;
    sum.add(bytes);
    return sum.hex();
}

}  // namespace eaveshed
