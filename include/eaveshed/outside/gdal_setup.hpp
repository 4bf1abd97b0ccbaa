// GDAL made safe and quiet: only the drivers this program uses, settings from outside that could load code, reach the
// network or change what is read cleared, and every message of the library gathered instead of printed.
#pragma once

#include <cstddef>
#include <memory>
#include <string>
#include <vector>

class GDALDataset;
class GDALDriver;

namespace eaveshed {

// One per process, made by the first call of start(), which must happen before other threads read the environment.
// Every opener of this module calls start() itself; later calls cost nothing and may come from any thread.
class GdalSession {
public:
    static const GdalSession& start();

    GdalSession(const GdalSession&) = delete;
    GdalSession& operator=(const GdalSession&) = delete;

    // Names of the environment variables that were removed (environment.hpp), sorted.
    [[nodiscard]] const std::vector<std::string>& cleared() const { return m_cleared; }

    // Short name of the driver that recognises a file by its beginning, also of those that this program never opens
    // anything with (they are taken out of the registry). Looks at the file only; empty when none is sure.
    [[nodiscard]] std::string driver_that_matches(const std::string& path) const;

private:
    GdalSession();
    std::vector<std::string> m_cleared;
    std::vector<GDALDriver*> m_drivers;  // all of the library, in its order; live as long as the process
};

// Gathers what GDAL, OGR and PROJ-through-GDAL say on the current thread while it lives, so that a failure inside a
// call that returns nothing (GDALClose) or returns success in spite of it is seen. Scopes nest: the innermost one
// gathers. To be destroyed on the thread that made it, in reverse order of making.
class GdalErrors {
public:
    GdalErrors();
    ~GdalErrors();
    GdalErrors(const GdalErrors&) = delete;
    GdalErrors& operator=(const GdalErrors&) = delete;

    [[nodiscard]] std::size_t failures() const { return m_failures; }
    [[nodiscard]] std::size_t warnings() const { return m_warnings; }
    // The first few messages of failures (then of warnings), each once, joined by "; ". Empty when there is none.
    [[nodiscard]] std::string text() const;
    void clear();

    // Called by the C handler. Severity as CPLErr: warnings are 2, failures 3 and above.
    void take(int severity, const char* message);

private:
    std::size_t m_failures = 0;
    std::size_t m_warnings = 0;
    std::vector<std::string> m_failure_texts;
    std::vector<std::string> m_warning_texts;
};

// A dataset that closes itself. Closing flushes: a writer closes by hand (close_dataset) so that it sees the failure.
struct DatasetCloser {
    void operator()(GDALDataset* dataset) const noexcept;
};
using DatasetHandle = std::unique_ptr<GDALDataset, DatasetCloser>;

// Closes and tells what GDAL said: the text of the failures, empty when all went well.
[[nodiscard]] std::string close_dataset(DatasetHandle& dataset);

}  // namespace eaveshed
