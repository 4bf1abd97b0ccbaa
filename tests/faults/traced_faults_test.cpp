// The same at the door of the kernel, below what a library in front can see: strace makes the Nth call of the main
// thread fail. Left out, with a note, where there is no strace or it may not trace.
#include <sstream>

#include "faults/sweep.hpp"

namespace eaveshed::testing {
namespace {

struct Traced {
    const char* call;
    const char* error;
    long some = 2;
};
void PrintTo(const Traced& traced, std::ostream* out) {
    *out << traced.call << ' ' << traced.error;
}

Words tracing(const Traced& traced, const std::string& file, long at) {
    Words words{"strace", "-f", "-qq", "-y", "-o", file, "-e", fmt::format("trace={},openat", traced.call)};
    if (at > 0) {
        words.insert(words.end(), {"-e", fmt::format("inject={}:error={}:when={}", traced.call, traced.error, at)});
    }
    return words;
}

// The numbers of the main thread's first and last call after the program has begun its work.
std::pair<long, long> calls_at_work(const std::string& trace, const std::string& call) {
    std::istringstream lines(trace);
    std::string line;
    std::string process;
    bool at_work = false;
    long number = 0;
    long before = 0;
    while (std::getline(lines, line)) {
        const std::string whose = line.substr(0, line.find(' '));
        process = process.empty() ? whose : process;
        if (whose != process) {
            continue;
        }
        if (!at_work && line.find("basin.toml\"") != std::string::npos) {
            at_work = true;
            before = number;
        }
        number += line.find(" " + call + "(") != std::string::npos ? 1 : 0;
    }
    return {before + 1, at_work ? number : 0};
}

bool can_trace() {
    return Running({"strace", "-o", "/dev/null", "true"}, "/", {}).wait().code == 0;
}

class Kernel : public ::testing::TestWithParam<Traced> {};

TEST_P(Kernel, RefusesAndNothingIsLost) {
    if (kSanitized || !can_trace()) {
        GTEST_SKIP() << "no strace that may trace on this machine, or a sanitizer: test skipped";
    }
    const Traced traced = GetParam();
    if (traced.some == 0 && !whole_sweep()) {
        GTEST_SKIP() << "a kind of the whole sweep: test skipped";
    }
    const Trial& trial = screen_trial();
    ASSERT_EQ(trial.trouble(), "");
    const TempFolder traces;
    ASSERT_EQ(trial.by(tracing(traced, traces.file("all"), 0)).wrong, "");
    const auto [first, last] = calls_at_work(bytes_of(traces.file("all")), traced.call);
    if (last < first) {
        GTEST_SKIP() << "a run makes no such call: test skipped";
    }
    const std::vector<long> chosen = places(last - first + 1, traced.some);
    Tally tally;
    each_of(chosen.size(), [&](std::size_t i) {
        const std::string trace = traces.file(std::to_string(i));
        Outcome outcome = trial.by(tracing(traced, trace, first - 1 + chosen[i]));
        std::istringstream lines(bytes_of(trace));
        for (std::string line; std::getline(lines, line);) {
            outcome.struck =
                line.find("(INJECTED)") != std::string::npos && outcome.struck.empty() ? line : outcome.struck;
        }
        count({.call = traced.call, .at = first - 1 + chosen[i], .action = traced.error}, outcome, tally);
    });
    tell(tally, fmt::format("screen, kernel's {} {}", traced.call, traced.error));
}

INSTANTIATE_TEST_SUITE_P(
    Faults, Kernel,
    ::testing::Values(Traced{"pwrite64", "EIO", 3}, Traced{"pwrite64", "ENOSPC"}, Traced{"write", "ENOSPC"},
                      Traced{"openat", "EIO", 4}, Traced{"openat", "EMFILE", 0}, Traced{"unlink", "EIO", 2},
                      Traced{"unlinkat", "EIO", 0}, Traced{"fsync", "EIO", 0}, Traced{"ftruncate", "EIO", 0},
                      Traced{"rename", "EIO", 2}, Traced{"mkdir", "ENOSPC", 1}, Traced{"mmap", "ENOMEM", 2},
                      Traced{"pread64", "EIO", 3}, Traced{"read", "EIO", 2}, Traced{"lseek", "EIO", 0},
                      Traced{"newfstatat", "EIO", 2}, Traced{"close", "EIO", 0}, Traced{"getdents64", "EIO", 0},
                      Traced{"flock", "ENOLCK", 0}, Traced{"fcntl", "EIO", 0}, Traced{"clone3", "EAGAIN", 1}),
    [](const ::testing::TestParamInfo<Traced>& traced) {
        return fmt::format("{}_{}", traced.param.call, traced.param.error);
    });

}  // namespace
}  // namespace eaveshed::testing
