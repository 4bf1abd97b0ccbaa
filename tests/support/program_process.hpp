// The program as a process of its own, with an environment and a place of its own.
#pragma once

#include <fcntl.h>
#include <spawn.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <sstream>
#include <string>
#include <thread>
#include <utility>
#include <vector>

#include <gtest/gtest.h>

#include "support/file_content.hpp"

namespace eaveshed::testing {

// Output and errors go to two files in `folder`.
class ProgramProcess {
public:
    ProgramProcess(const std::string& folder, const std::vector<std::string>& words,
                   const std::vector<std::string>& environment = {"PATH=/usr/bin:/bin"})
        : m_out(folder + "/said.out"), m_errors(folder + "/said.err") {
        posix_spawn_file_actions_t actions;
        posix_spawn_file_actions_init(&actions);
        posix_spawn_file_actions_addopen(&actions, 1, m_out.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0644);
        posix_spawn_file_actions_addopen(&actions, 2, m_errors.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0644);
        std::vector<char*> arguments{const_cast<char*>(EAVESHED_PROGRAM)};
        for (const std::string& word : words) {
            arguments.push_back(const_cast<char*>(word.c_str()));
        }
        arguments.push_back(nullptr);
        std::vector<char*> variables;
        for (const std::string& variable : environment) {
            variables.push_back(const_cast<char*>(variable.c_str()));
        }
        variables.push_back(nullptr);
        EXPECT_EQ(::posix_spawn(&m_process, EAVESHED_PROGRAM, &actions, nullptr, arguments.data(), variables.data()),
                  0);
        posix_spawn_file_actions_destroy(&actions);
    }
    ~ProgramProcess() {
        if (m_process > 0) {
            ::kill(m_process, SIGKILL);
            ::waitpid(m_process, nullptr, 0);
        }
    }
    ProgramProcess(const ProgramProcess&) = delete;
    ProgramProcess& operator=(const ProgramProcess&) = delete;

    // Whether the process has ended.
    [[nodiscard]] bool ended() {
        if (m_process > 0 && ::waitpid(m_process, &m_status, WNOHANG) == m_process) {
            m_process = -1;
        }
        return m_process <= 0;
    }
    // Waits until the process has used so much of a processor. False when it ended before, or after a minute.
    [[nodiscard]] bool worked_for(double seconds) {
        const auto late = std::chrono::steady_clock::now() + std::chrono::minutes(1);
        while (!ended() && std::chrono::steady_clock::now() < late) {
            if (processor_seconds() >= seconds) {
                return true;
            }
            std::this_thread::sleep_for(std::chrono::milliseconds(20));
        }
        return false;
    }
    void signal(int number) const { ::kill(m_process, number); }
    // The exit code; -1 when it did not end within that time, -2 when a signal ended it.
    [[nodiscard]] int code_within(std::chrono::milliseconds longest) {
        const auto late = std::chrono::steady_clock::now() + longest;
        while (!ended()) {
            if (std::chrono::steady_clock::now() > late) {
                return -1;
            }
            std::this_thread::sleep_for(std::chrono::milliseconds(10));
        }
        return WIFEXITED(m_status) ? WEXITSTATUS(m_status) : -2;
    }
    [[nodiscard]] std::string out() const { return content_of(m_out); }
    [[nodiscard]] std::string errors() const { return content_of(m_errors); }

private:
    // proc(5), /proc/PID/stat: user and system time are the 14th and 15th field, in ticks.
    [[nodiscard]] double processor_seconds() const {
        const std::string stat = content_of("/proc/" + std::to_string(m_process) + "/stat");
        std::istringstream fields(stat.substr(stat.rfind(')') + 1));
        std::string skipped;
        for (int i = 3; i < 14; ++i) {
            fields >> skipped;
        }
        double user = 0.0;
        double system = 0.0;
        fields >> user >> system;
        return (user + system) / static_cast<double>(::sysconf(_SC_CLK_TCK));
    }

    std::string m_out;
    std::string m_errors;
    pid_t m_process = -1;
    int m_status = 0;
};

}  // namespace eaveshed::testing
