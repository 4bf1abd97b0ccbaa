#include "eaveshed/files/refusal.hpp"

#include <gtest/gtest.h>

#include <cerrno>

#include "support/expect_error.hpp"

namespace eaveshed {
namespace {

TEST(Refusal, OfADiskIsAWorkingErrorAndOfTheMachineAPassingOne) {
    const Refusal refusal;
    errno = EIO;
    testing::expect_error([&] { refusal.rethrow("dem.tif"); }, Fault::working, {"dem.tif", "cannot be read"});
    errno = EMFILE;
    testing::expect_error([&] { refusal.rethrow("dem.tif"); }, Fault::passing, {"dem.tif", "cannot be read"});
}

TEST(Refusal, WhatLibrariesMeetOnTheirWayIsNone) {
    errno = EIO;  // of something earlier
    const Refusal refusal;
    EXPECT_NO_THROW(refusal.rethrow("dem.tif"));
    errno = ENOENT;
    EXPECT_NO_THROW(refusal.rethrow("dem.tif"));
}

}  // namespace
}  // namespace eaveshed
