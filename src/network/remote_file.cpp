#include "eaveshed/network/remote_file.hpp"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <map>
#include <mutex>
#include <thread>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include "eaveshed/network/address.hpp"
#include "eaveshed/words/wording.hpp"
#include "page_cache.hpp"
#include "requests.hpp"

namespace eaveshed {

namespace {

constexpr int kAttempts = 5;
constexpr std::chrono::milliseconds kFirstWait{250};  // and twice as long each time
constexpr long kLongestWaitS = 10;
constexpr std::uint64_t kMiB = std::uint64_t{1} << 20U;
constexpr std::uint64_t kDirectBytes = std::uint64_t{1} << 16U;  // a read so long is its own request, and is not kept

bool busy(long status) {
    return status == 408 || status == 429 || (status >= 500 && status != 501 && status != 505);
}

bool not_there(long status) {
    return status == 404 || status == 410;
}

bool not_allowed(long status) {
    return status == 401 || status == 403;
}

// Of an answer that is not the part asked for.
Trouble trouble_of(const std::string& where, const Answer& answer) {
    constexpr const char* kWanted = "a server that gives the file by ranges of bytes";
    if (not_there(answer.status)) {
        return {where, fmt::format("no such file on the server ({})", answer.status), "a file that is there",
                "check the address"};
    }
    if (not_allowed(answer.status)) {
        return {where, fmt::format("a file that the server does not hand out ({})", answer.status),
                "an address that is public, or signed for this time",
                "look whether its signature has run out; where the project is opened again, name the project file that "
                "has the signed address with --project"};
    }
    if (answer.status >= 300 && answer.status < 400) {
        const std::string to = answer.location.substr(0, answer.location.find('?'));
        return {where, fmt::format("an address that sends on to {} ({})", printable(to), answer.status),
                "the address of the file itself", "name that address, and allow its host"};
    }
    if (answer.status == 416) {
        return {where, "a file that ends before the bytes that were asked for (416)", "a file with content",
                "look whether it is empty, or was cut short"};
    }
    if (answer.status == 200 || (answer.status == 206 && answer.failure.empty())) {
        return {where,
                answer.encoded ? "a server that packs the file on its way"
                               : fmt::format("a server that gives the whole file only ({})", answer.status),
                kWanted, "download the file first, or keep it on a server that knows range requests"};
    }
    if (!answer.failure.empty()) {
        return {where, fmt::format("a request that failed: {}", printable(answer.failure)), kWanted,
                answer.worth_a_retry ? "run again when server and network are in order"
                                     : "look at the address and the server's certificate"};
    }
    return {where, fmt::format("an answer that is none: HTTP status {}", answer.status), kWanted,
            busy(answer.status) ? "run again when the server is in order" : "look at the address"};
}

bool is_part(const Answer& answer, std::uint64_t first) {
    return answer.status == 206 && answer.failure.empty() && !answer.encoded && answer.first == first &&
           answer.total > first;
}

// Asks until there is an answer that stays the same when asked again.
Answer settled_answer(const std::string& url, std::uint64_t first, std::uint64_t end) {
    for (int attempt = 1;; ++attempt) {
        Answer answer = request_range(url, first, end);
        const bool again = answer.failure.empty() ? busy(answer.status) : answer.worth_a_retry;
        if (!again || attempt == kAttempts) {
            return answer;
        }
        const std::chrono::seconds asked(std::min(answer.retry_after_s, kLongestWaitS));
        std::this_thread::sleep_for(
            std::max<std::chrono::milliseconds>(asked, kFirstWait * (1 << static_cast<unsigned>(attempt - 1))));
    }
}

RemoteFacts facts_of(const Answer& answer) {
    return {answer.total, answer.modified, answer.tag};
}

}  // namespace

struct RemoteFile::Impl {
    Impl(std::string where_, const std::string& path)
        : where(std::move(where_)), address(kept_address(where, path)), pages(PageCache::all().new_file()) {
        reads_ahead = lower_case(path).ends_with(".fgb");  // features in a row; blocks of rasters lie anywhere
    }
    ~Impl() { PageCache::all().forget(pages); }

    std::string where;
    Address address;
    std::uint32_t pages;
    bool reads_ahead = false;
    RemoteFacts facts;
    bool opened = false;
    std::mutex mutex;
    std::optional<Error> fault;            // guarded
    std::uint64_t follows = 0;             // guarded: where the last fetch ended
    std::uint64_t ahead = kPageBytes * 4;  // guarded: what the next fetch takes that begins there

    [[noreturn]] void fail(Error error) {
        const std::scoped_lock lock(mutex);
        fault = fault ? fault : std::move(error);
        throw Error(*fault);
    }

    void throw_fault() {
        const std::scoped_lock lock(mutex);
        if (fault) {
            throw Error(*fault);
        }
    }

    Answer part(std::uint64_t first, std::uint64_t end) {
        throw_fault();
        Answer answer = settled_answer(address.full, first, end);
        if (!is_part(answer, first)) {
            const bool for_now = answer.failure.empty() ? busy(answer.status) : answer.worth_a_retry;
            const Fault kind = for_now ? Fault::passing : opened ? Fault::working : Fault::input;
            fail(Error(kind, trouble_of(where, answer)));
        }
        if (opened && facts_of(answer) != facts) {
            fail(working_error(where, "a file that changed on its server while it was read",
                               "inputs that stay as they are", "run again when nothing writes to it"));
        }
        return answer;
    }

    // Pages [first, last], and more where the reader goes straight on.
    std::vector<unsigned char> fetch(std::uint64_t begin, std::uint64_t end) {
        constexpr std::uint64_t kMostAhead = kMiB;
        {
            const std::scoped_lock lock(mutex);
            if (reads_ahead && begin == follows) {
                end = std::max(end, begin + ahead);
                ahead = std::min(2 * ahead, kMostAhead);
            }
            end = std::min(end, facts.size);
            follows = end;
        }
        return part(begin, end).bytes;
    }
};

RemoteFile::RemoteFile(std::string where, const std::string& path)
    : m_impl(std::make_unique<Impl>(std::move(where), path)) {
    require_allowed(m_impl->where, m_impl->address);
    const Answer answer = m_impl->part(0, kPageBytes);
    m_impl->facts = facts_of(answer);
    m_impl->opened = true;
    m_impl->follows = answer.bytes.size();
    PageCache::all().put(m_impl->pages, 0, answer.bytes);
}

RemoteFile::~RemoteFile() = default;

const RemoteFacts& RemoteFile::facts() const {
    return m_impl->facts;
}

std::size_t RemoteFile::read_at(std::uint64_t offset, std::span<unsigned char> bytes) {
    m_impl->throw_fault();
    const std::uint64_t size = m_impl->facts.size;
    const std::uint64_t end = std::min<std::uint64_t>(size, offset + bytes.size());
    if (offset >= end) {
        return 0;
    }
    if (end - offset >= kDirectBytes && !m_impl->reads_ahead) {
        const std::vector<unsigned char> got = m_impl->part(offset, end).bytes;
        std::ranges::copy(got, bytes.begin());
        return got.size();
    }
    PageCache& cache = PageCache::all();
    for (std::uint64_t at = offset; at < end;) {
        const std::uint64_t page = at / kPageBytes;
        const std::size_t taken = cache.read(m_impl->pages, at, bytes.subspan(at - offset, end - at));
        if (taken == 0) {
            const std::uint64_t begin = page * kPageBytes;
            const std::uint64_t to = (end + kPageBytes - 1) / kPageBytes * kPageBytes;
            const std::vector<unsigned char> got = m_impl->fetch(begin, to);
            cache.put(m_impl->pages, page, got);
            const std::uint64_t reaches = std::min<std::uint64_t>(end, begin + got.size());
            std::copy(got.begin() + static_cast<std::ptrdiff_t>(at - begin),
                      got.begin() + static_cast<std::ptrdiff_t>(reaches - begin),
                      bytes.begin() + static_cast<std::ptrdiff_t>(at - offset));
            at = reaches;
        }
        at += taken;
    }
    return end - offset;
}

RemoteFacts RemoteFile::ask() {
    m_impl->throw_fault();
    const Answer answer = settled_answer(m_impl->address.full, 0, 1);
    if (!is_part(answer, 0)) {
        const bool for_now = answer.failure.empty() ? busy(answer.status) : answer.worth_a_retry;
        m_impl->fail(Error(for_now ? Fault::passing : Fault::working, trouble_of(m_impl->where, answer)));
    }
    return facts_of(answer);
}

void RemoteFile::read_fresh(std::uint64_t begin, std::uint64_t end,
                            const std::function<void(std::span<const unsigned char>)>& take) {
    while (begin < end) {
        const std::uint64_t to = std::min(end, begin + kMiB);
        take(m_impl->part(begin, to).bytes);
        begin = to;
    }
}

namespace {

struct Files {
    std::mutex mutex;
    std::map<std::string, std::shared_ptr<RemoteFile>> by_path;  // null for what is not there
    std::optional<Error> fault;
    std::atomic<bool> any_fault{false};
};

Files& files() {
    static auto* const one = new Files;
    return *one;
}

}  // namespace

std::shared_ptr<RemoteFile> remote_file(const std::string& where, const std::string& path) {
    const std::scoped_lock lock(files().mutex);
    std::shared_ptr<RemoteFile>& file = files().by_path[path];
    if (file == nullptr) {
        file = std::make_shared<RemoteFile>(where, path);
    }
    return file;
}

std::shared_ptr<RemoteFile> remote_file_if_there(const std::string& where, const std::string& path) {
    const Address address = kept_address(where, path);
    require_allowed(where, address);
    const std::scoped_lock lock(files().mutex);
    const auto found = files().by_path.find(path);
    if (found != files().by_path.end()) {
        return found->second;
    }
    const Answer answer = settled_answer(address.full, 0, 1);
    const bool there = !not_there(answer.status) && !not_allowed(answer.status);
    return files().by_path[path] = there ? std::make_shared<RemoteFile>(where, path) : nullptr;
}

std::shared_ptr<RemoteFile> opened_remote_file(const std::string& path) {
    const std::scoped_lock lock(files().mutex);
    const auto found = files().by_path.find(path);
    return found == files().by_path.end() ? nullptr : found->second;
}

void keep_network_fault(const Error& error) {
    const std::scoped_lock lock(files().mutex);
    if (!files().fault) {
        files().fault = error;
    }
    files().any_fault = true;
}

void throw_network_fault() {
    if (files().any_fault) {
        const std::scoped_lock lock(files().mutex);
        if (files().fault) {
            throw Error(*files().fault);
        }
    }
}

void forget_remote_files() {
    const std::scoped_lock lock(files().mutex);
    files().by_path.clear();
    files().fault.reset();
    files().any_fault = false;
}

NetworkUse network_use() {
    const RequestCounts counts = request_counts();
    return {counts.requests, counts.bytes};
}

}  // namespace eaveshed
