#include "eaveshed/stop/signal_watch.hpp"

#include <fcntl.h>
#include <poll.h>
#include <pthread.h>
#include <sys/signalfd.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <csignal>
#include <string>
#include <system_error>

#include "eaveshed/stop/stop.hpp"

namespace eaveshed {

namespace {

sigset_t watched_signals() {
    sigset_t signals;
    sigemptyset(&signals);
    sigaddset(&signals, SIGINT);
    sigaddset(&signals, SIGTERM);
    return signals;
}

[[noreturn]] void end_now(int signal_number) {
    const std::string words = "stopped within a step; " + words_when_stopped() + "\n";
    static_cast<void>(!::write(STDERR_FILENO, words.data(), words.size()));
    remove_what_goes_when_stopped();
    ::_exit(128 + signal_number);
}

// The signal that came within so many milliseconds (negative: for ever); 0 when none did or the watch is over.
int signal_within(int signals, int over, int milliseconds) {
    std::array<pollfd, 2> waited{{{signals, POLLIN, 0}, {over, POLLIN, 0}}};
    int ready = 0;
    do {
        ready = ::poll(waited.data(), waited.size(), milliseconds);
    } while (ready < 0 && errno == EINTR);
    signalfd_siginfo told{};
    const bool came = ready > 0 && waited[1].revents == 0 && ::read(signals, &told, sizeof told) == sizeof told;
    return came ? static_cast<int>(told.ssi_signo) : 0;
}

}  // namespace

SignalWatch::SignalWatch() {
    const sigset_t signals = watched_signals();
    pthread_sigmask(SIG_BLOCK, &signals, nullptr);
    m_signals = ::signalfd(-1, &signals, SFD_CLOEXEC);
    std::array<int, 2> pipe{-1, -1};
    const bool piped = ::pipe2(pipe.data(), O_CLOEXEC) == 0;
    m_over = pipe[0];
    m_end = pipe[1];
    if (m_signals < 0 || !piped) {
        throw std::system_error(errno, std::generic_category(), "signals cannot be watched");
    }
    m_thread = std::thread([this] { watch(); });
}

SignalWatch::~SignalWatch() {
    ::close(m_end);  // the other end hears of it, whatever the system refuses otherwise
    m_thread.join();
    ::close(m_over);
    ::close(m_signals);
}

void SignalWatch::watch() const {
    const int first = signal_within(m_signals, m_over, -1);
    if (first == 0) {
        return;
    }
    request_stop(first);
    // A second signal ends the process at once.
    if (const int second = signal_within(m_signals, m_over, static_cast<int>(kPatience.count())); second != 0) {
        end_now(second);
    }
    pollfd over{m_over, POLLIN, 0};
    if (::poll(&over, 1, 0) == 0) {
        end_now(first);
    }
}

}  // namespace eaveshed
