#include "eaveshed/progress/progress.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <cstdio>
#include "eaveshed/words/say.hpp"

namespace eaveshed {

namespace {

constexpr std::chrono::milliseconds kBarInterval{200};
constexpr std::chrono::seconds kLineInterval{10};

ProgressStyle settled(ProgressStyle style) {
    if (style != ProgressStyle::automatic) {
        return style;
    }
    return ::isatty(STDERR_FILENO) != 0 ? ProgressStyle::bar : ProgressStyle::lines;
}

}  // namespace

Progress::Progress(ProgressStyle style) : m_style(settled(style)) {}

void Progress::begin(const std::string& phase, std::uint64_t total, const std::string& what) {
    m_phase = phase;
    m_total = total;
    m_what = what;
    m_done = 0;
    m_start = std::chrono::steady_clock::now();
    m_shown = m_start;
}

void Progress::advance(std::uint64_t units) {
    m_done += units;
    if (m_style == ProgressStyle::none) {
        return;
    }
    const std::scoped_lock lock(m_mutex);
    const auto now = std::chrono::steady_clock::now();
    const bool due = m_style == ProgressStyle::bar ? now - m_shown >= kBarInterval : now - m_shown >= kLineInterval;
    if (due) {
        m_shown = now;
        show(false);
    }
}

void Progress::end() {
    if (m_style != ProgressStyle::none) {
        show(true);
    }
}

void Progress::show(bool last) {
    const std::chrono::duration<double> elapsed = std::chrono::steady_clock::now() - m_start;
    const std::uint64_t done = m_done;
    std::string text = m_phase + ": " + fmt::format("{}", done);
    if (m_total > 0) {
        text += fmt::format(" of {} {} ({:.0f} %)", m_total, m_what,
                            100.0 * static_cast<double>(done) / static_cast<double>(m_total));
    } else {
        text += " " + m_what;
    }
    if (last) {
        text += fmt::format(", {:.1f} s", elapsed.count());
    } else if (done > 0 && m_total > done) {
        const double left = elapsed.count() * static_cast<double>(m_total - done) / static_cast<double>(done);
        text += fmt::format(", about {:.0f} s left", left);
    }
    const bool bar = m_style == ProgressStyle::bar;
    say(fmt::format("{}{}{}", bar ? "\r\x1b[K" : "", text, bar && !last ? "" : "\n"));
}

}  // namespace eaveshed
