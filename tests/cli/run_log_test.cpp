#include "eaveshed/cli/run_log.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <nlohmann/json.hpp>
#include <sstream>

#include "support/expect_error.hpp"
#include "support/output_file.hpp"
#include "support/program_said.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using testing::TempFolder;

TEST(RunLog, IsAddedToALineEach) {
    const TempFolder folder;
    for (const char* const what : {"first", "second"}) {
        RunLog log(folder.file("log"));
        log.event(what);
        EXPECT_EQ(log.exit_code(), 0);
    }
    std::istringstream lines(testing::bytes_of(folder.file("log")));
    std::string line;
    for (const char* const what : {"first", "second"}) {
        ASSERT_TRUE(std::getline(lines, line));
        EXPECT_EQ(nlohmann::json::parse(line).at("event"), what);
    }
}

TEST(RunLog, GoesOnInANewLineAfterOneThatBrokeOff) {
    const TempFolder folder;
    const std::string path = folder.write("log", "{\"time\":\"20");
    RunLog(path).event("again");
    EXPECT_THAT(testing::bytes_of(path), ::testing::StartsWith("{\"time\":\"20\n{\"time\""));
}

TEST(RunLog, AFileThatCannotBeOpenedIsAnInputError) {
    const TempFolder folder;
    testing::expect_input_error([&] { RunLog log(folder.file("no/log")); }, {"--log", "no/log"});
    testing::expect_input_error([&] { RunLog log(folder.path().string()); }, {"--log"});
}

TEST(RunLog, ThatCannotBeWrittenToIsToldOnceAndInTheExitCode) {
    if (!std::filesystem::exists("/dev/full")) {
        GTEST_SKIP() << "no /dev/full on this machine: test skipped";
    }
    ::testing::internal::CaptureStderr();
    RunLog log("/dev/full");
    log.event("first");
    log.event("second");
    EXPECT_EQ(log.exit_code(), 75);
    const std::string said = ::testing::internal::GetCapturedStderr();
    EXPECT_THAT(said, ::testing::StartsWith("warning: --log /dev/full: cannot be written to any more: No space left"));
    EXPECT_EQ(said.find("warning:", 1), std::string::npos);
    EXPECT_THAT(said, ::testing::HasSubstr("error: --log /dev/full: a log that is not whole"));
}

TEST(RunLog, ThatFailsLosesNoWork) {
    if (!std::filesystem::exists("/dev/full")) {
        GTEST_SKIP() << "no /dev/full on this machine: test skipped";
    }
    const TempFolder folder;
    const std::string output = folder.file("out.gpkg");
    const testing::ProgramSaid said =
        testing::program_said({"screen", std::string(EAVESHED_SOURCE_DIR) + "/testdata/demo/basin.toml", "-o", output,
                               "--log", "/dev/full", "--quiet"});
    EXPECT_EQ(said.code, 75);
    EXPECT_THAT(said.errors, ::testing::HasSubstr("/dev/full"));
    EXPECT_GT(testing::OutputFile(output).count("SELECT COUNT(*) FROM roofs"), 0);
    EXPECT_THAT(said.out, ::testing::HasSubstr("Whom to call first"));
}

}  // namespace
}  // namespace eaveshed
