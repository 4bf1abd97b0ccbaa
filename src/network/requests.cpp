#include "requests.hpp"

#include <algorithm>
#include <atomic>
#include <charconv>
#include <csignal>
#include <ctime>
#include <memory>
#include <mutex>
#include <string_view>

#include <curl/curl.h>
#include <fmt/format.h>
#include <pthread.h>

#include "eaveshed/words/version.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr long kConnectSeconds = 15;
constexpr long kSlowBytesPerSecond = 100;  // slower than this for
constexpr long kSlowSeconds = 30;          // so long is no connection any more
constexpr long kPartialContent = 206;

std::atomic<std::uint64_t> g_requests{0};
std::atomic<std::uint64_t> g_bytes{0};

using Handle = std::unique_ptr<CURL, decltype(&curl_easy_cleanup)>;

// Handles keep their connections: one that was used before need not greet its server anew.
class Handles {
public:
    static Handles& all() {
        static auto* const one = new Handles;
        return *one;
    }

    Handle take() {
        const std::scoped_lock lock(m_mutex);
        if (m_idle.empty()) {
            return {curl_easy_init(), &curl_easy_cleanup};
        }
        Handle handle = std::move(m_idle.back());
        m_idle.pop_back();
        return handle;
    }

    void give(Handle handle) {
        curl_easy_reset(handle.get());  // options go, connections stay
        const std::scoped_lock lock(m_mutex);
        m_idle.push_back(std::move(handle));
    }

private:
    Handles() { curl_global_init(CURL_GLOBAL_DEFAULT); }
    std::mutex m_mutex;
    std::vector<Handle> m_idle;
};

// Writing to a connection that the other side closed is an error of the request, not the signal that ends a program:
// the library of secure connections raises it on the thread that writes.
class NoPipeSignal {
public:
    NoPipeSignal() {
        sigemptyset(&m_pipe);
        sigaddset(&m_pipe, SIGPIPE);
        pthread_sigmask(SIG_BLOCK, &m_pipe, &m_before);
    }
    ~NoPipeSignal() {
        const timespec at_once{};
        while (sigismember(&m_before, SIGPIPE) == 0 && sigtimedwait(&m_pipe, nullptr, &at_once) > 0) {
        }
        pthread_sigmask(SIG_SETMASK, &m_before, nullptr);
    }
    NoPipeSignal(const NoPipeSignal&) = delete;
    NoPipeSignal& operator=(const NoPipeSignal&) = delete;

private:
    sigset_t m_pipe{};
    sigset_t m_before{};
};

// What the callbacks of one request fill.
struct Reception {
    Answer answer;
    std::uint64_t most = 0;  // bytes
    bool too_many = false;
};

std::string_view trimmed(std::string_view text) {
    const auto begin = text.find_first_not_of(" \t\r\n");
    const auto end = text.find_last_not_of(" \t\r\n");
    return begin == std::string_view::npos ? std::string_view() : text.substr(begin, end - begin + 1);
}

std::uint64_t number_in(std::string_view text) {
    std::uint64_t value = 0;
    std::from_chars(text.data(), text.data() + text.size(), value);
    return value;
}

// "bytes 0-16383/523776": RFC 9110, section 14.4.
void take_content_range(std::string_view text, Answer& answer) {
    const auto space = text.find(' ');
    const auto slash = text.find('/');
    if (space != std::string_view::npos && slash != std::string_view::npos && text.substr(0, space) == "bytes") {
        answer.first = number_in(text.substr(space + 1));
        answer.total = number_in(text.substr(slash + 1));
    }
}

void take_header(std::string_view name, std::string_view value, Answer& answer) {
    if (name == "content-range") {
        take_content_range(value, answer);
    } else if (name == "last-modified") {
        const time_t time = curl_getdate(std::string(value).c_str(), nullptr);
        answer.modified = time < 0 ? std::nullopt : std::optional<std::int64_t>(time);
    } else if (name == "etag") {
        answer.tag = value;
    } else if (name == "location") {
        answer.location = value;
    } else if (name == "content-encoding") {
        answer.encoded = value != "identity";
    }
}

std::size_t on_header(char* text, std::size_t size, std::size_t count, void* user) {
    Answer& answer = static_cast<Reception*>(user)->answer;
    const std::string_view line(text, size * count);
    const auto colon = line.find(':');
    if (line.starts_with("HTTP/")) {  // of another answer: 100 goes before the one that counts
        answer = {};
    } else if (colon != std::string_view::npos) {
        take_header(lower_case(line.substr(0, colon)), trimmed(line.substr(colon + 1)), answer);
    }
    return size * count;
}

std::size_t on_bytes(char* bytes, std::size_t size, std::size_t count, void* user) {
    auto& reception = *static_cast<Reception*>(user);
    std::vector<unsigned char>& kept = reception.answer.bytes;
    const std::size_t more = size * count;
    g_bytes += more;
    if (kept.size() + more > reception.most) {
        reception.too_many = true;
        return 0;
    }
    kept.insert(kept.end(), bytes, bytes + more);
    return more;
}

bool passing(CURLcode code) {
    switch (code) {
        case CURLE_PEER_FAILED_VERIFICATION:
        case CURLE_SSL_CACERT_BADFILE:
        case CURLE_SSL_CERTPROBLEM:
        case CURLE_URL_MALFORMAT:
        case CURLE_UNSUPPORTED_PROTOCOL:
        case CURLE_OUT_OF_MEMORY: return false;
        default: return true;
    }
}

void set_options(CURL* handle, const std::string& url, const std::string& range, Reception& reception) {
    static const std::string agent = std::string("eaveshed/") + program_version();
    curl_easy_setopt(handle, CURLOPT_URL, url.c_str());
    curl_easy_setopt(handle, CURLOPT_RANGE, range.c_str());
    curl_easy_setopt(handle, CURLOPT_PROTOCOLS_STR, "http,https");
    curl_easy_setopt(handle, CURLOPT_FOLLOWLOCATION, 0L);
    curl_easy_setopt(handle, CURLOPT_PROXY, "");  // none, whatever the environment says
    curl_easy_setopt(handle, CURLOPT_NOSIGNAL, 1L);
    curl_easy_setopt(handle, CURLOPT_CONNECTTIMEOUT, kConnectSeconds);
    curl_easy_setopt(handle, CURLOPT_LOW_SPEED_LIMIT, kSlowBytesPerSecond);
    curl_easy_setopt(handle, CURLOPT_LOW_SPEED_TIME, kSlowSeconds);
    curl_easy_setopt(handle, CURLOPT_USERAGENT, agent.c_str());
    curl_easy_setopt(handle, CURLOPT_HEADERFUNCTION, on_header);
    curl_easy_setopt(handle, CURLOPT_HEADERDATA, &reception);
    curl_easy_setopt(handle, CURLOPT_WRITEFUNCTION, on_bytes);
    curl_easy_setopt(handle, CURLOPT_WRITEDATA, &reception);
}

}  // namespace

Answer request_range(const std::string& url, std::uint64_t first, std::uint64_t end) {
    const NoPipeSignal no_signal;
    Handle handle = Handles::all().take();
    Reception reception;
    reception.most = end - first;
    set_options(handle.get(), url, fmt::format("{}-{}", first, end - 1), reception);
    ++g_requests;
    const CURLcode code = curl_easy_perform(handle.get());
    Answer& answer = reception.answer;
    curl_easy_getinfo(handle.get(), CURLINFO_RESPONSE_CODE, &answer.status);
    curl_off_t wait = 0;
    curl_easy_getinfo(handle.get(), CURLINFO_RETRY_AFTER, &wait);
    answer.retry_after_s = static_cast<long>(wait);
    const bool other_answer = reception.too_many && answer.status != kPartialContent;  // its page is not wanted
    if (code != CURLE_OK && !other_answer) {
        answer.failure = reception.too_many ? "more bytes than were asked for" : curl_easy_strerror(code);
        answer.worth_a_retry = !reception.too_many && passing(code);
    } else if (answer.status == kPartialContent &&
               answer.bytes.size() != std::min(end, std::max(answer.total, first)) - first) {
        answer.failure = fmt::format("{} bytes of {}", answer.bytes.size(), end - first);
        answer.worth_a_retry = true;
    }
    Handles::all().give(std::move(handle));
    return std::move(reception.answer);
}

RequestCounts request_counts() {
    return {g_requests, g_bytes};
}

void forget_request_counts() {
    g_requests = 0;
    g_bytes = 0;
}

}  // namespace eaveshed
