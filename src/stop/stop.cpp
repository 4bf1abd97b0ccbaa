#include "eaveshed/stop/stop.hpp"

#include <algorithm>
#include <atomic>
#include <mutex>
#include <system_error>
#include <utility>
#include <vector>

namespace eaveshed {

namespace {

// An int and not an enum: a signal handler may write nothing else.
std::atomic<int> g_stop{0};  // NOLINT(cppcoreguidelines-avoid-non-const-global-variables)

// Never destroyed: the watch of the signals may ask for it until the process is gone.
struct AtTheEnd {
    std::mutex mutex;
    std::string words;
    std::vector<std::filesystem::path> folders;
};
AtTheEnd& at_the_end() {
    static auto* const kept = new AtTheEnd;
    return *kept;
}

}  // namespace

void request_stop(int signal_number) noexcept {
    g_stop = signal_number;
}
int requested_stop() noexcept {
    return g_stop;
}

void stop_if_requested() {
    if (const int signal_number = requested_stop(); signal_number != 0) {
        throw Stopped(signal_number);
    }
}

void set_words_when_stopped(std::string words) {
    const std::scoped_lock lock(at_the_end().mutex);
    at_the_end().words = std::move(words);
}

std::string words_when_stopped() {
    const std::scoped_lock lock(at_the_end().mutex);
    const std::string& words = at_the_end().words;
    return words.empty() ? "nothing was written: run the same command again" : words;
}

GoesWhenStopped::GoesWhenStopped(std::filesystem::path folder) : m_folder(std::move(folder)) {
    const std::scoped_lock lock(at_the_end().mutex);
    at_the_end().folders.push_back(m_folder);
}

GoesWhenStopped::~GoesWhenStopped() {
    const std::scoped_lock lock(at_the_end().mutex);
    std::erase(at_the_end().folders, m_folder);
}

void remove_what_goes_when_stopped() noexcept {
    try {
        const std::scoped_lock lock(at_the_end().mutex);
        for (const std::filesystem::path& folder : at_the_end().folders) {
            std::error_code ignored;
            std::filesystem::remove_all(folder, ignored);
        }
    } catch (...) {  // NOLINT(bugprone-empty-catch): the process is about to end, whatever is left
    }
}

}  // namespace eaveshed
