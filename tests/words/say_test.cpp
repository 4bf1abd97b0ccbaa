#include "eaveshed/words/say.hpp"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <unistd.h>

namespace eaveshed {
namespace {

TEST(Say, GoesToStandardError) {
    ::testing::internal::CaptureStderr();
    say("so it is\n");
    EXPECT_EQ(::testing::internal::GetCapturedStderr(), "so it is\n");
}

TEST(Say, WhereNobodyListensNothingHappens) {
    const int full = ::open("/dev/full", O_WRONLY);
    if (full < 0) {
        GTEST_SKIP() << "no /dev/full on this machine: test skipped";
    }
    const int kept = ::dup(STDERR_FILENO);
    ::dup2(full, STDERR_FILENO);
    EXPECT_NO_THROW(say("so it is\n"));
    ::dup2(kept, STDERR_FILENO);
    ::close(kept);
    ::close(full);
}

}  // namespace
}  // namespace eaveshed
