#include "eaveshed/stop/signal_watch.hpp"

#include <unistd.h>

#include <chrono>
#include <csignal>
#include <cstdlib>
#include <thread>

#include <gtest/gtest.h>

#include "eaveshed/stop/stop.hpp"

namespace eaveshed {
namespace {

using std::chrono::seconds;
using std::chrono::steady_clock;

// Each in a process of its own: a watch is for the life of a process.
class SignalWatchDeathTest : public ::testing::Test {
protected:
    static void SetUpTestSuite() { ::testing::FLAGS_gtest_death_test_style = "threadsafe"; }
};

[[noreturn]] void work_in_order() {
    const SignalWatch watch;
    ::kill(::getpid(), SIGTERM);
    const auto end = steady_clock::now() + seconds(3);
    while (steady_clock::now() < end) {
        if (requested_stop() == SIGTERM) {
            std::_Exit(7);
        }
        std::this_thread::yield();
    }
    std::_Exit(1);
}

// Work without a safe point. Says how it ended only if nobody ended it.
[[noreturn]] void work_on(int signals) {
    set_words_when_stopped("go on with x");
    const SignalWatch watch;
    for (int i = 0; i < signals; ++i) {
        ::kill(::getpid(), SIGINT);
        std::this_thread::sleep_for(std::chrono::milliseconds(300));
    }
    std::this_thread::sleep_for(seconds(20));
    std::_Exit(1);
}

TEST_F(SignalWatchDeathTest, WorkSeesThatItWasAskedToStop) {
    EXPECT_EXIT(work_in_order(), ::testing::ExitedWithCode(7), "");
}

TEST_F(SignalWatchDeathTest, WorkWithoutASafePointIsEndedWithinFiveSeconds) {
    const auto begin = steady_clock::now();
    EXPECT_EXIT(work_on(1), ::testing::ExitedWithCode(130), "stopped within a step; go on with x");
    EXPECT_LT(steady_clock::now() - begin, seconds(6));  // the process had to begin, too
}

TEST_F(SignalWatchDeathTest, ASecondSignalEndsItAtOnce) {
    const auto begin = steady_clock::now();
    EXPECT_EXIT(work_on(2), ::testing::ExitedWithCode(130), "stopped within a step");
    EXPECT_LT(steady_clock::now() - begin, seconds(3));
}

[[noreturn]] void end_without_a_signal() {
    { const SignalWatch watch; }
    std::_Exit(9);
}

TEST_F(SignalWatchDeathTest, AWatchThatNothingHappenedToEndsWithTheWork) {
    EXPECT_EXIT(end_without_a_signal(), ::testing::ExitedWithCode(9), "");
}

}  // namespace
}  // namespace eaveshed
