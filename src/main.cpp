#include <iostream>
#include <string>
#include <vector>

#include "eaveshed/cli/program.hpp"
#include "eaveshed/outside/environment.hpp"
#include "eaveshed/stop/signal_watch.hpp"

int main(int argc, char** argv) {
    eaveshed::clear_environment();
    const eaveshed::SignalWatch signals;
    const std::vector<std::string> words(argv + 1, argv + argc);
    const int code = eaveshed::run_program(words, std::cout);
    std::cout.flush();
    return std::cout ? code : 1;
}
