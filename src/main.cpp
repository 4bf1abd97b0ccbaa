#include <csignal>
#include <iostream>
#include <string>
#include <vector>

#include "eaveshed/cli/program.hpp"
#include "eaveshed/progress/progress.hpp"

namespace {

// The first signal asks the work to stop at a safe point; a second one ends the process at once.
extern "C" void on_signal(int signal_number) {
    eaveshed::request_stop(signal_number);
    std::signal(signal_number, SIG_DFL);  // NOLINT(cert-err33-c)
}

}  // namespace

int main(int argc, char** argv) {
    std::signal(SIGINT, on_signal);   // NOLINT(cert-err33-c)
    std::signal(SIGTERM, on_signal);  // NOLINT(cert-err33-c)
    const std::vector<std::string> words(argv + 1, argv + argc);
    const int code = eaveshed::run_program(words, std::cout);
    std::cout.flush();
    return std::cout ? code : 1;
}
