// A program run beside the test, and the files of a folder before and after it.
#pragma once

#include <fcntl.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <filesystem>
#include <fstream>
#include <map>
#include <set>
#include <string>
#include <string_view>
#include <thread>
#include <vector>

#include "support/output_file.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed::testing {

namespace fs = std::filesystem;

// Of a folder and what lies below: bytes by name. A folder's own name ends in a slash.
using Files = std::map<std::string, std::string>;

inline Files files_in(const fs::path& folder, const std::set<std::string>& unlike = {}) {
    Files files;
    for (const auto& entry : fs::recursive_directory_iterator(folder)) {
        const std::string name = fs::relative(entry.path(), folder).string();
        if (entry.is_directory()) {
            files[name + "/"] = "";
        } else {
            files[name] = unlike.contains(name) ? "" : bytes_of(entry.path().string());
        }
    }
    return files;
}

inline void write_files(const Files& files, const fs::path& folder) {
    for (const auto& [name, bytes] : files) {
        fs::create_directories((folder / name).parent_path());
        if (name.back() == '/') {
            continue;
        }
        std::ofstream(folder / name, std::ios::binary) << bytes;
        // It stands in the result.
        constexpr std::chrono::sys_seconds kSomeDay{std::chrono::sys_days(std::chrono::year(2024) / 5 / 6)};
        fs::last_write_time(folder / name, fs::file_time_type::clock::from_sys(kSomeDay));
    }
}

using Words = std::vector<std::string>;

struct Ended {
    int code = -1;  // of the process; of one that a signal ended, the signal's number below zero
    std::string out;
    std::string errors;
};

class Running {
public:
    Running(const Words& words, const fs::path& folder, const Words& environment) : m_folder(folder) {
        posix_spawn_file_actions_t files{};
        posix_spawn_file_actions_init(&files);
        const auto redirect = [&](int descriptor, const char* name) {
            posix_spawn_file_actions_addopen(&files, descriptor, (m_said.path() / name).c_str(),
                                             O_WRONLY | O_CREAT | O_TRUNC, 0644);
        };
        redirect(STDOUT_FILENO, "out");
        redirect(STDERR_FILENO, "errors");
        posix_spawn_file_actions_addchdir_np(&files, folder.c_str());
        std::vector<std::string> kept = environment;
        for (char** entry = environ; *entry != nullptr; ++entry) {
            if (std::string_view(*entry).rfind("TMPDIR=", 0) != 0) {
                kept.emplace_back(*entry);
            }
        }
        if (posix_spawnp(&m_process, words.front().c_str(), &files, nullptr, pointers(words).data(),
                         pointers(kept).data()) != 0) {
            m_process = -1;
        }
        posix_spawn_file_actions_destroy(&files);
    }
    ~Running() {
        if (m_process > 0) {
            wait(std::chrono::seconds(0));
        }
    }
    Running(const Running&) = delete;
    Running& operator=(const Running&) = delete;

    void send(int signal) const { ::kill(m_process, signal); }

    // One that takes longer is killed.
    Ended wait(std::chrono::milliseconds longest = std::chrono::minutes(3)) {
        const auto end = std::chrono::steady_clock::now() + longest;
        int status = 0;
        while (m_process > 0 && ::waitpid(m_process, &status, WNOHANG) == 0) {
            if (std::chrono::steady_clock::now() > end) {
                send(SIGKILL);
            }
            std::this_thread::sleep_for(std::chrono::milliseconds(2));
        }
        m_process = -1;
        return {WIFEXITED(status) ? WEXITSTATUS(status) : -WTERMSIG(status), bytes_of(m_said.file("out")),
                bytes_of(m_said.file("errors"))};
    }

private:
    static std::vector<char*> pointers(const std::vector<std::string>& texts) {
        std::vector<char*> all;
        for (const std::string& text : texts) {
            all.push_back(const_cast<char*>(text.c_str()));
        }
        all.push_back(nullptr);
        return all;
    }
    fs::path m_folder;
    TempFolder m_said;
    pid_t m_process = -1;
};

}  // namespace eaveshed::testing
