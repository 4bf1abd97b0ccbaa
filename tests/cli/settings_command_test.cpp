#include "eaveshed/cli/settings_command.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <sstream>

namespace eaveshed {
namespace {

TEST(SettingsCommand, PrintsTextOrMarkdown) {
    std::ostringstream text;
    EXPECT_EQ(print_settings(text, false), 0);
    EXPECT_THAT(text.str(), ::testing::StartsWith("Settings of a project file."));
    std::ostringstream markdown;
    EXPECT_EQ(print_settings(markdown, true), 0);
    EXPECT_THAT(markdown.str(), ::testing::StartsWith("# Settings\n"));
}

}  // namespace
}  // namespace eaveshed
