// Words that the commands of the main job share. Private to the module.
#pragma once

#include <algorithm>
#include <cstddef>
#include <string>
#include <thread>

#include <fmt/format.h>
#include <CLI/CLI.hpp>

#include "eaveshed/run/memory_shares.hpp"

namespace eaveshed {

struct RunWords {
    unsigned threads = 0;  // 0: one for each core
    std::size_t memory_mib = kDefaultMemoryMib;

    [[nodiscard]] unsigned thread_count() const {
        return threads > 0 ? threads : std::max(1U, std::thread::hardware_concurrency());
    }
};

inline void add_run_words(CLI::App& command, RunWords& words) {
    constexpr unsigned kMostThreads = 1024;
    constexpr std::size_t kMostMemoryMib = std::size_t{1} << 24U;
    command.add_option("--threads", words.threads, "How many threads work; without it one for each core")
        ->type_name("N")
        ->check(CLI::Range(1U, kMostThreads));
    command
        .add_option("--memory", words.memory_mib,
                    fmt::format("How much memory the run may take; without it {} MiB", kDefaultMemoryMib))
        ->type_name("MIB")
        ->check(CLI::Range(std::size_t{1}, kMostMemoryMib));
}

// --project of a command that works on a plan in parts.
inline void add_plan_project_word(CLI::App& command, std::string& project) {
    command
        .add_option("--project", project,
                    "The project file that was split, or its folder, where the inputs do not lie where they did")
        ->type_name("PROJECT.toml");
}

}  // namespace eaveshed
