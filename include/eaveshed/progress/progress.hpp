// What a person sees while a run works: on standard error, never on standard output.
#pragma once

#include <atomic>
#include <chrono>
#include <cstdint>
#include <mutex>
#include <string>

#include "eaveshed/stop/stop.hpp"

namespace eaveshed {

// `bar` redraws one line, `lines` adds a line now and then, `none` is silent; `automatic` is a bar on a terminal and
// lines elsewhere.
enum class ProgressStyle : std::uint8_t { automatic, bar, lines, none };

// Safe to advance from several threads.
class Progress {
public:
    explicit Progress(ProgressStyle style);
    // Begins a phase of `total` units (0: not known) of what `what` says, e.g. "roofs".
    void begin(const std::string& phase, std::uint64_t total, const std::string& what);
    void advance(std::uint64_t units);
    void end();

private:
    void show(bool last);
    ProgressStyle m_style;
    std::string m_phase;
    std::string m_what;
    std::uint64_t m_total = 0;
    std::atomic<std::uint64_t> m_done{0};
    std::chrono::steady_clock::time_point m_start;
    std::chrono::steady_clock::time_point m_shown;
    std::mutex m_mutex;
};

}  // namespace eaveshed
