#include "eaveshed/cli/run_log.hpp"

#include <fcntl.h>
#include <fmt/chrono.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <chrono>
#include <cstring>
#include <nlohmann/json.hpp>
#include <string_view>
#include <utility>

#include "eaveshed/outside/environment.hpp"
#include "eaveshed/words/room.hpp"
#include "eaveshed/words/safe_output.hpp"

namespace eaveshed {

namespace {

using Json = nlohmann::ordered_json;

Json json_of(const std::string& level, const Trouble& trouble) {
    return {{"level", level},         {"event", "finding"},       {"where", trouble.where},
            {"found", trouble.found}, {"wanted", trouble.wanted}, {"remedy", trouble.remedy}};
}

// Whether what was written there last broke off within a line.
bool ends_within_a_line(const std::string& path) {
    const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK);
    char last = '\n';
    const off_t size = file < 0 ? 0 : ::lseek(file, 0, SEEK_END);
    const bool read = size > 0 && ::pread(file, &last, 1, size - 1) == 1;
    if (file >= 0) {
        ::close(file);
    }
    return read && last != '\n';
}

}  // namespace

// A file that takes lines until it fails.
struct RunLog::Impl {
    explicit Impl(std::string path_) : path(std::move(path_)) {
        file = ::open(path.c_str(), O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0644);
        if (file < 0) {
            throw input_error("--log " + path,
                              std::string("a file that cannot be opened: ") + std::strerror(errno),  // NOLINT
                              "a file that may be written to", "check the folder and its permissions");
        }
        if (ends_within_a_line(path)) {
            put("\n");
        }
    }
    ~Impl() { ::close(file); }
    Impl(const Impl&) = delete;
    Impl& operator=(const Impl&) = delete;

    void write(const Json& line) {
        const auto now = std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now());
        Json stamped{{"time", fmt::format("{:%Y-%m-%dT%H:%M:%SZ}", fmt::gmtime(now))}};
        stamped.update(line);
        put(without_controls(stamped.dump(-1, ' ', false, Json::error_handler_t::replace)) + '\n');
    }
    void put(std::string_view text) {
        while (!text.empty() && code == 0) {
            const ssize_t done = ::write(file, text.data(), text.size());
            if (done < 0 && errno != EINTR) {
                give_up(errno);
            }
            text.remove_prefix(done > 0 ? static_cast<std::size_t>(done) : 0);
        }
    }
    void give_up(int why) {
        const bool no_room = why == ENOSPC || why == EDQUOT;
        code = static_cast<int>(no_room ? Fault::passing : Fault::working);
        const std::string room = no_room ? " (" + room_text(path) + ")" : "";
        tell(
            "warning: --log {}: cannot be written to any more: {}{}; the work goes on without it, and the exit code "
            "will be {}\n",
            path, std::strerror(why), room, code);  // NOLINT(concurrency-mt-unsafe)
    }

    std::string path;
    int file = -1;
    int code = 0;
};

RunLog::RunLog(const std::string& file) {
    if (!file.empty()) {
        m_impl = std::make_unique<Impl>(file);
        if (!removed_variables().empty()) {
            m_impl->write(
                {{"level", "info"}, {"event", "environment variables not heard"}, {"names", removed_variables()}});
        }
    }
}

RunLog::~RunLog() = default;

void RunLog::event(const std::string& what) {
    if (m_impl) {
        m_impl->write({{"level", "info"}, {"event", what}});
    }
}

void RunLog::finding(const Finding& finding) {
    if (m_impl) {
        auto line = json_of(severity_name(finding.severity), finding.trouble);
        if (finding.code) {
            line["code"] = to_text(*finding.code);
        }
        m_impl->write(line);
    }
}

void RunLog::failure(const Error& error) {
    if (m_impl) {
        auto line = json_of("error", error.trouble());
        line["event"] = "failure";
        line["exit_code"] = error.exit_code();
        m_impl->write(line);
    }
}

int RunLog::exit_code() {
    if (!m_impl) {
        return 0;
    }
    if (m_impl->code != 0) {
        tell("error: --log {}: a log that is not whole; all else is done\n", m_impl->path);
    }
    return m_impl->code;
}

}  // namespace eaveshed
