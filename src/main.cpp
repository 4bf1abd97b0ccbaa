#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <sstream>
#include <string>
#include <vector>

#include "eaveshed/cli/program.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/outside/environment.hpp"
#include "eaveshed/stop/signal_watch.hpp"
#include "eaveshed/words/safe_output.hpp"

namespace {

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
int hand_over(const std::string& results, int code) {
    errno = 0;
    if (std::fwrite(results.data(), 1, results.size(), stdout) == results.size() && std::fflush(stdout) == 0) {
        return code;
    }
    const int why = errno;
    eaveshed::tell(
        "error: standard output: found a channel that cannot be written to: {}; let it go to another place, then ask "
        "again\n",
        std::strerror(why));  // NOLINT(concurrency-mt-unsafe)
    const bool no_room = why == ENOSPC || why == EDQUOT;
    return code != 0 ? code : static_cast<int>(no_room ? eaveshed::Fault::passing : eaveshed::Fault::working);
}

}  // namespace

int main(int argc, char** argv) {
    keep_channels_taken();  // before anything is opened
    eaveshed::clear_environment();
    const eaveshed::SignalWatch signals;
    const std::vector<std::string> words(argv + 1, argv + argc);
    std::ostringstream results;
    const int code = eaveshed::run_program(words, results);
    return hand_over(results.str(), code);
}
