#include "eaveshed/files/new_file.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/stat.h>

#include <fstream>

#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

namespace fs = std::filesystem;
using testing::TempFolder;

std::string text_of(const fs::path& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

fs::perms permissions(const fs::path& path) {
    return fs::status(path).permissions();
}

TEST(NewFile, StandsUnderItsNameWhenItIsWhole) {
    const TempFolder folder;
    const std::string path = folder.write("list.csv", "old");
    {
        NewFile file(path, NewFile::Readers::all);
        file.append("new ");
        file.append("list");
        EXPECT_EQ(text_of(path), "old");
        file.publish();
    }
    EXPECT_EQ(text_of(path), "new list");
    EXPECT_EQ(permissions(path), fs::perms(0644));
    EXPECT_EQ(std::distance(fs::directory_iterator(folder.path()), {}), 1);
}

TEST(NewFile, ThatIsNotPublishedLeavesNothing) {
    const TempFolder folder;
    { NewFile(folder.file("list.csv"), NewFile::Readers::all).append("half"); }
    EXPECT_TRUE(fs::is_empty(folder.path()));
}

TEST(NewFile, ForItsOwnerIsNobodyElsesToReadFromTheFirstByteOn) {
    const TempFolder folder;
    NewFile file(folder.file("list.csv"), NewFile::Readers::owner);
    for (const auto& entry : fs::directory_iterator(folder.path())) {
        EXPECT_EQ(permissions(entry.path()), fs::perms(0600));
    }
    file.publish();
    EXPECT_EQ(permissions(folder.file("list.csv")), fs::perms(0600));
}

TEST(NewFile, TakesAwayWhatAKilledWriterLeftAndNoOtherFile) {
    const TempFolder folder;
    folder.write(".list.csv.part-host-1-00000000", "names and telephones");
    folder.write("list.csv.part", "mine");
    write_new_file(folder.file("list.csv"), "new", NewFile::Readers::owner);
    EXPECT_FALSE(fs::exists(folder.file(".list.csv.part-host-1-00000000")));
    EXPECT_EQ(text_of(folder.file("list.csv.part")), "mine");
}

TEST(NewFile, ALinkOfTheNameIsReplacedAndNotFollowed) {
    const TempFolder folder;
    const std::string others = folder.write("others", "theirs");
    fs::create_symlink(others, folder.file("list.csv"));
    write_new_file(folder.file("list.csv"), "mine", NewFile::Readers::all);
    EXPECT_EQ(text_of(others), "theirs");
    EXPECT_FALSE(fs::is_symlink(folder.file("list.csv")));
}

TEST(NewFile, TakesANameAsLongAsANameMayBe) {
    const TempFolder folder;
    const std::string name(255, 'n');
    write_new_file(folder.file(name), "x", NewFile::Readers::all);
    EXPECT_EQ(text_of(folder.file(name)), "x");
}

}  // namespace
}  // namespace eaveshed
