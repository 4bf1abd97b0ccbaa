// A run that is asked to stop: who asks sets a mark, work looks at it at its safe points.
#pragma once

#include <filesystem>
#include <string>

namespace eaveshed {

// Asks running work to stop at the next safe point. From any thread, and from a signal's handler.
void request_stop(int signal_number) noexcept;
[[nodiscard]] int requested_stop() noexcept;  // 0: go on

// Thrown at a safe point after a stop was requested.
class Stopped {
public:
    explicit Stopped(int signal_number) : m_signal(signal_number) {}
    [[nodiscard]] int exit_code() const noexcept { return 128 + m_signal; }

private:
    int m_signal;
};
void stop_if_requested();

// What a stopped run tells its user, such as the command that goes on from there. From any thread.
void set_words_when_stopped(std::string words);
[[nodiscard]] std::string words_when_stopped();

// A folder of this run alone that has to go even when the run is ended from outside of its work (SignalWatch). While
// the object lives.
class GoesWhenStopped {
public:
    explicit GoesWhenStopped(std::filesystem::path folder);
    ~GoesWhenStopped();
    GoesWhenStopped(const GoesWhenStopped&) = delete;
    GoesWhenStopped& operator=(const GoesWhenStopped&) = delete;

private:
    std::filesystem::path m_folder;
};
// Removes all such folders, as far as that goes.
void remove_what_goes_when_stopped() noexcept;

}  // namespace eaveshed
