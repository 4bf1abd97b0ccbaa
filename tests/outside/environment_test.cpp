#include "eaveshed/outside/environment.hpp"

#include <cstdio>
#include <cstdlib>
#include <string>

#include <gtest/gtest.h>

namespace eaveshed {
namespace {

// Each in a process of its own: what is removed is gone.
class EnvironmentDeathTest : public ::testing::Test {
protected:
    static void SetUpTestSuite() { ::testing::FLAGS_gtest_death_test_style = "threadsafe"; }
};

[[noreturn]] void clear_and_tell() {
    setenv("GDAL_SKIP", "GTiff", 1);
    setenv("https_proxy", "x", 1);
    setenv("PROJ_DATA", "/nonexistent", 1);
    setenv("A_VARIABLE_OF_TOMORROW", "x", 1);
    setenv("TMPDIR", "/tmp", 1);
    clear_environment();
    std::string told;
    for (const std::string& name : removed_variables()) {
        told += name + " ";
    }
    for (const char* const name : {"GDAL_SKIP", "https_proxy", "PROJ_DATA", "A_VARIABLE_OF_TOMORROW", "TMPDIR"}) {
        told += std::getenv(name) == nullptr ? "- " : "+ ";  // NOLINT(concurrency-mt-unsafe)
    }
    std::fputs(told.c_str(), stderr);
    std::exit(0);  // NOLINT(concurrency-mt-unsafe)
}

TEST_F(EnvironmentDeathTest, AllGoesButWhatIsKeptAndWhatLibrariesReadIsTold) {
    EXPECT_EXIT(clear_and_tell(), ::testing::ExitedWithCode(0), "GDAL_SKIP .*PROJ_DATA .*https_proxy .*- - - - \\+ ");
}

}  // namespace
}  // namespace eaveshed
