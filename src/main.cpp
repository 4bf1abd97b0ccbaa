#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <csignal>
#include <cstdio>
#include <cstring>
#include <sstream>
#include <string>
#include <vector>

#include "eaveshed/cli/program.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/progress/progress.hpp"
#include "eaveshed/words/say.hpp"

namespace {

// The first signal asks the work to stop at a safe point; a second one ends the process at once.
extern "C" void on_signal(int signal_number) {
    eaveshed::request_stop(signal_number);
    std::signal(signal_number, SIG_DFL);  // NOLINT(cert-err33-c)
}

// Where a channel is closed, the next file opened would take its number, and words would be written into a result.
void keep_channels_taken() {
    for (const int channel : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO}) {
        if (::fcntl(channel, F_GETFD) < 0) {
            static_cast<void>(::open("/dev/null", O_RDWR));
        }
    }
}

// The exit code when the results are on standard output: that they are not all there is a fault, also where the work
// was done.
int tell(const std::string& results, int code) {
    errno = 0;
    if (std::fwrite(results.data(), 1, results.size(), stdout) == results.size() && std::fflush(stdout) == 0) {
        return code;
    }
    const int why = errno;
    eaveshed::say(std::string("error: standard output: found a channel that cannot be written to: ") +
                  std::strerror(why) +  // NOLINT(concurrency-mt-unsafe)
                  "; let it go to another place, then ask again\n");
    const bool no_room = why == ENOSPC || why == EDQUOT;
    return code != 0 ? code : static_cast<int>(no_room ? eaveshed::Fault::passing : eaveshed::Fault::working);
}

}  // namespace

int main(int argc, char** argv) {
    std::signal(SIGINT, on_signal);   // NOLINT(cert-err33-c)
    std::signal(SIGTERM, on_signal);  // NOLINT(cert-err33-c)
    keep_channels_taken();
    const std::vector<std::string> words(argv + 1, argv + argc);
    std::ostringstream results;
    const int code = eaveshed::run_program(words, results);
    return tell(results.str(), code);
}
