// docs/security.md promises nothing without a test that shows it, and that test exists.
#include <gtest/gtest.h>

#include <filesystem>
#include <regex>
#include <sstream>
#include <string>

#include "support/file_content.hpp"

namespace eaveshed {
namespace {

TEST(SecurityPage, EveryTestThatItNamesExists) {
    const std::string root = EAVESHED_SOURCE_DIR;
    const std::string page = testing::content_of(root + "/docs/security.md");
    const std::regex named(R"(`([a-z_/]+_test\.cpp)\s+(\w+)\.(\w+)`)");
    int count = 0;
    for (std::sregex_iterator found(page.begin(), page.end(), named), end; found != end; ++found, ++count) {
        const std::string test = testing::content_of(root + "/tests/" + (*found)[1].str());
        const std::regex written("TEST(_F|_P)?\\(" + (*found)[2].str() + ",\\s*" + (*found)[3].str() + "\\)");
        EXPECT_TRUE(std::regex_search(test, written)) << found->str();
    }
    EXPECT_GE(count, 30);
}

TEST(SecurityPage, EveryRowOfItsTablesHasOne) {
    const std::string page = testing::content_of(std::string(EAVESHED_SOURCE_DIR) + "/docs/security.md");
    std::istringstream lines(page);
    for (std::string line; std::getline(lines, line);) {
        if (line.starts_with("| ") && !line.starts_with("| promise") && !line.starts_with("| ---")) {
            EXPECT_NE(line.find("_test.cpp "), std::string::npos) << line;
        }
    }
}

}  // namespace
}  // namespace eaveshed
