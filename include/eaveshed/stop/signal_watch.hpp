// SIGINT and SIGTERM, taken by a thread of their own.
//
// Work looks at the mark of a requested stop at its safe points and ends in order. What has none for a while (a call
// deep inside a library) is ended from outside after `kPatience`: everything that is published is published by rename,
// so that nothing half-written stands under an output's name then either.
#pragma once

#include <chrono>
#include <thread>

namespace eaveshed {

class SignalWatch {
public:
    static constexpr std::chrono::milliseconds kPatience{4000};

    // To be made before any other thread begins: those inherit that the signals are not theirs.
    SignalWatch();
    ~SignalWatch();
    SignalWatch(const SignalWatch&) = delete;
    SignalWatch& operator=(const SignalWatch&) = delete;

private:
    void watch() const;

    // Descriptors: of the signals, and of the two ends of a pipe; the watch is over when the second of them is closed.
    int m_signals = -1;
    int m_over = -1;
    int m_end = -1;
    std::thread m_thread;
};

}  // namespace eaveshed
