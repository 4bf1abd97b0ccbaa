// A little web server on 127.0.0.1 that gives the files of a folder by ranges of bytes, and every trouble a test asks
// for.
#pragma once

#include <arpa/inet.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <cstdint>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <functional>
#include <mutex>
#include <stdexcept>
#include <string>
#include <string_view>
#include <thread>
#include <vector>

namespace eaveshed::testing {

struct Asked {
    std::string target;  // path and query, as asked for
    std::string header;  // of the whole request
    std::uint64_t first = 0;
    std::uint64_t end = 0;   // of the part that was given
    std::size_t number = 0;  // counting from 0, of this path
};

// How to answer; what a plain server does, unless said otherwise.
struct HowToAnswer {
    int status = 206;
    std::string location = {};
    bool whole = false;  // as a server that knows no ranges
    bool cut = false;    // half of the bytes, and an end
    std::string changed_tag = {};
};

class RangeServer {
public:
    using Answering = std::function<HowToAnswer(const Asked&)>;

    explicit RangeServer(std::filesystem::path folder, Answering answering = {})
        : m_folder(std::move(folder)), m_answering(std::move(answering)) {
        m_socket = ::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
        sockaddr_in address{};
        address.sin_family = AF_INET;
        address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
        socklen_t size = sizeof address;
        auto* const plain = reinterpret_cast<sockaddr*>(&address);
        if (m_socket < 0 || ::bind(m_socket, plain, size) != 0 || ::listen(m_socket, 64) != 0 ||
            ::getsockname(m_socket, plain, &size) != 0) {
            throw std::runtime_error("no server for the test");
        }
        m_port = ntohs(address.sin_port);
        m_thread = std::thread([this] { serve(); });
    }
    ~RangeServer() { stop(); }
    RangeServer(const RangeServer&) = delete;
    RangeServer& operator=(const RangeServer&) = delete;

    // From now on connections are refused.
    void stop() {
        m_stopping = true;
        if (m_thread.joinable()) {
            m_thread.join();
            ::close(m_socket);
        }
    }

    [[nodiscard]] std::string url(std::string_view name) const {
        return "http://127.0.0.1:" + std::to_string(m_port) + "/" + std::string(name);
    }
    [[nodiscard]] std::vector<Asked> asked() const {
        const std::scoped_lock lock(m_mutex);
        return m_asked;
    }
    // Content that was sent for paths with this ending.
    [[nodiscard]] std::uint64_t bytes_of(std::string_view ending) const {
        std::uint64_t bytes = 0;
        for (const Asked& one : asked()) {
            bytes += path_in(one.target).ends_with(ending) ? one.end - one.first : 0;
        }
        return bytes;
    }
    [[nodiscard]] std::size_t requests_for(std::string_view ending) const {
        const auto all = asked();
        return static_cast<std::size_t>(
            std::ranges::count_if(all, [&](const Asked& one) { return path_in(one.target).ends_with(ending); }));
    }
    void forget() {
        const std::scoped_lock lock(m_mutex);
        m_asked.clear();
    }

private:
    static std::string path_in(const std::string& target) { return target.substr(0, target.find('?')); }

    void serve() {
        while (!m_stopping) {
            pollfd waiting{m_socket, POLLIN, 0};
            if (::poll(&waiting, 1, 50) <= 0) {
                continue;
            }
            const int connection = ::accept4(m_socket, nullptr, nullptr, SOCK_CLOEXEC);
            if (connection >= 0) {
                const timeval patience{5, 0};
                ::setsockopt(connection, SOL_SOCKET, SO_RCVTIMEO, &patience, sizeof patience);
                ::setsockopt(connection, SOL_SOCKET, SO_SNDTIMEO, &patience, sizeof patience);
                answer(connection);
                ::close(connection);
            }
        }
    }

    static std::string request_on(int connection) {
        std::string text;
        char buffer[4096];
        while (text.find("\r\n\r\n") == std::string::npos && text.size() < 65536) {
            const ssize_t got = ::recv(connection, buffer, sizeof buffer, 0);
            if (got <= 0) {
                return {};
            }
            text.append(buffer, static_cast<std::size_t>(got));
        }
        return text;
    }

    static void send_all(int connection, std::string_view bytes) {
        while (!bytes.empty()) {
            const ssize_t sent = ::send(connection, bytes.data(), bytes.size(), MSG_NOSIGNAL);
            if (sent <= 0) {
                return;
            }
            bytes.remove_prefix(static_cast<std::size_t>(sent));
        }
    }

    static std::string date_of(const std::filesystem::path& file) {
        struct stat status {};
        ::stat(file.c_str(), &status);
        std::tm parts{};
        ::gmtime_r(&status.st_mtim.tv_sec, &parts);
        char text[64];
        return {text, std::strftime(text, sizeof text, "%a, %d %b %Y %H:%M:%S GMT", &parts)};
    }

    void answer(int connection) {
        const std::string request = request_on(connection);
        if (!request.starts_with("GET ")) {
            return;
        }
        Asked asked{.target = request.substr(4, request.find(' ', 4) - 4), .header = request};
        {
            const std::scoped_lock lock(m_mutex);
            asked.number = static_cast<std::size_t>(std::ranges::count_if(
                m_asked, [&](const Asked& one) { return path_in(one.target) == path_in(asked.target); }));
        }
        const std::filesystem::path file = m_folder / path_in(asked.target).substr(1);
        std::error_code fault;
        const bool is_range = take_range(file, request, asked);
        HowToAnswer how = m_answering ? m_answering(asked) : HowToAnswer{};
        if (how.status == 206 && !std::filesystem::is_regular_file(file, fault)) {
            how.status = 404;
        }
        std::string head;
        std::string body;
        how.whole = how.whole || !is_range;
        if (how.status == 206) {
            if (how.whole) {
                asked.first = 0;
                asked.end = std::filesystem::file_size(file, fault);
            }
            body = part_of(file, asked);
            const auto size = std::filesystem::file_size(file, fault);
            head = how.whole ? "HTTP/1.1 200 OK\r\n"
                             : "HTTP/1.1 206 Partial Content\r\nContent-Range: bytes " + std::to_string(asked.first) +
                                   "-" + std::to_string(asked.end - 1) + "/" + std::to_string(size) + "\r\n";
            head += "Last-Modified: " + date_of(file) + "\r\nETag: \"" + date_of(file) + how.changed_tag + "\"\r\n";
        } else {
            head = "HTTP/1.1 " + std::to_string(how.status) + " As asked\r\n";
            asked.first = asked.end = 0;
            head += how.location.empty() ? "" : "Location: " + how.location + "\r\n";
        }
        head += "Content-Length: " + std::to_string(body.size()) + "\r\nConnection: close\r\n\r\n";
        {
            const std::scoped_lock lock(m_mutex);
            m_asked.push_back(asked);
        }
        send_all(connection, head + (how.cut ? body.substr(0, body.size() / 2) : body));
    }

    // Whether a part of a file that is there was asked for, and which.
    static bool take_range(const std::filesystem::path& file, const std::string& request, Asked& asked) {
        std::error_code fault;
        const std::uint64_t size = std::filesystem::file_size(file, fault);
        const auto range = request.find("\r\nRange: bytes=");
        if (fault || range == std::string::npos) {
            return false;
        }
        const std::string text = request.substr(range + 15);
        asked.first = std::stoull(text);
        asked.end = std::min<std::uint64_t>(size, std::stoull(text.substr(text.find('-') + 1)) + 1);
        return true;
    }

    static std::string part_of(const std::filesystem::path& file, const Asked& asked) {
        std::string bytes(asked.end - asked.first, '\0');
        std::ifstream in(file, std::ios::binary);
        in.seekg(static_cast<std::streamoff>(asked.first));
        in.read(bytes.data(), static_cast<std::streamsize>(bytes.size()));
        return bytes;
    }

    std::filesystem::path m_folder;
    Answering m_answering;
    int m_socket = -1;
    int m_port = 0;
    std::atomic<bool> m_stopping{false};
    std::thread m_thread;
    mutable std::mutex m_mutex;
    std::vector<Asked> m_asked;
};

}  // namespace eaveshed::testing
