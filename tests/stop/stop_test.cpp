#include "eaveshed/stop/stop.hpp"

#include <csignal>
#include <filesystem>

#include <gtest/gtest.h>

#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

TEST(Stop, WorkGoesOnUntilItIsAskedToStop) {
    EXPECT_NO_THROW(stop_if_requested());
    request_stop(SIGTERM);
    try {
        stop_if_requested();
        ADD_FAILURE() << "it went on";
    } catch (const Stopped& stopped) {
        EXPECT_EQ(stopped.exit_code(), 143);
    }
    request_stop(0);
    EXPECT_NO_THROW(stop_if_requested());
}

TEST(Stop, TheWordsAreThoseOfTheCommandOrThatNothingWasWritten) {
    EXPECT_EQ(words_when_stopped(), "nothing was written: run the same command again");
    set_words_when_stopped("go on with x");
    EXPECT_EQ(words_when_stopped(), "go on with x");
    set_words_when_stopped("");
}

TEST(Stop, FoldersOfARunThatIsEndedGoOnlyWhileTheyAreItsOwn) {
    const testing::TempFolder folder;
    const std::filesystem::path own = folder.file("own");
    const std::filesystem::path former = folder.file("former");
    std::filesystem::create_directories(own / "inner");
    std::filesystem::create_directories(former);
    const GoesWhenStopped goes(own);
    { const GoesWhenStopped no_more(former); }
    remove_what_goes_when_stopped();
    EXPECT_FALSE(std::filesystem::exists(own));
    EXPECT_TRUE(std::filesystem::exists(former));
}

}  // namespace
}  // namespace eaveshed
