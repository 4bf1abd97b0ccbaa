// The log of a run: one JSON object a line, with time, level and what happened. It holds no personal data.
#pragma once

#include <memory>
#include <string>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/finding.hpp"

namespace eaveshed {

// Without a file name it swallows everything. A file that cannot be opened is an input error. One that cannot be
// written to later is told once, on standard error, and the work goes on.
class RunLog {
public:
    explicit RunLog(const std::string& file);
    ~RunLog();
    RunLog(const RunLog&) = delete;
    RunLog& operator=(const RunLog&) = delete;

    void event(const std::string& what);
    void finding(const Finding& finding);
    void failure(const Error& error);

    // The last call of a command whose work is done: 0, or the exit code for a log that is not whole, 75 where there
    // was no room for it.
    [[nodiscard]] int exit_code();

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

}  // namespace eaveshed
