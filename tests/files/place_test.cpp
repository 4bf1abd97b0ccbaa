#include "eaveshed/files/place.hpp"

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>

#include "support/expect_error.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

namespace fs = std::filesystem;
using testing::TempFolder;

TEST(Place, AFileMayBeMadeOrReplacedInAFolder) {
    const TempFolder folder;
    EXPECT_NO_THROW(require_place_for_file(folder.file("new"), "-o"));
    EXPECT_NO_THROW(require_place_for_file(folder.write("old", "x"), "-o"));
    EXPECT_NO_THROW(require_place_for_file("name", "-o"));  // where the process works
}

TEST(Place, WhatIsInTheWayIsTold) {
    const TempFolder folder;
    fs::create_directory(folder.file("folder"));
    testing::expect_input_error([&] { require_place_for_file(folder.file("folder"), "--csv x"); },
                                {"--csv x", "a folder of that name"});
    testing::expect_input_error([&] { require_place_for_file(folder.file("no/file"), "-o"); }, {"no folder"});
    testing::expect_input_error([&] { require_place_for_file(folder.file(std::string(256, 'n')), "-o"); },
                                {"too long"});
    folder.write("file", "x");
    testing::expect_input_error([&] { require_place_for_folder(folder.file("file"), "-o"); }, {"no folder"});
    testing::expect_input_error([&] { require_place_for_folder(folder.file("file/sub"), "-o"); }, {"no folder"});
}

TEST(Place, AFolderMayBeMadeOrBeThere) {
    const TempFolder folder;
    fs::create_directory(folder.file("there"));
    EXPECT_NO_THROW(require_place_for_folder(folder.file("there"), "-o"));
    EXPECT_NO_THROW(require_place_for_folder(folder.file("there/"), "-o"));
    EXPECT_NO_THROW(require_place_for_folder(folder.file("new/"), "-o"));
}

TEST(Place, AFolderThatMayNotBeWrittenToIsTold) {
    if (::geteuid() == 0) {
        GTEST_SKIP() << "who runs the tests may write everywhere: test skipped";
    }
    const TempFolder folder;
    fs::create_directory(folder.file("closed"));
    fs::permissions(folder.file("closed"), fs::perms::owner_read | fs::perms::owner_exec);
    testing::expect_input_error([&] { require_place_for_file(folder.file("closed/x"), "-o"); }, {"may not be written"});
    testing::expect_input_error([&] { require_place_for_folder(folder.file("closed"), "-o"); }, {"may not be written"});
    fs::permissions(folder.file("closed"), fs::perms::owner_all);
}

}  // namespace
}  // namespace eaveshed
