#include "eaveshed/files/file.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/file.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <filesystem>
#include <fstream>
#include <numeric>
#include <vector>

#include "support/expect_error.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using testing::TempFolder;
namespace fs = std::filesystem;

std::string content(const fs::path& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

TEST(File, WritesAndReadsAtAnyOffset) {
    const TempFolder folder;
    File file(folder.path() / "a", File::Mode::create);
    std::vector<unsigned char> bytes(100000);
    std::iota(bytes.begin(), bytes.end(), static_cast<unsigned char>(0));
    file.write_at(50, bytes);
    file.write_at(0, std::array<unsigned char, 2>{7, 8});
    file.sync();
    EXPECT_EQ(file.size(), 100050U);
    std::vector<unsigned char> back(100000);
    file.read_at(50, back);
    EXPECT_EQ(back, bytes);
    File moved = std::move(file);
    std::array<unsigned char, 3> head{};
    moved.read_at(0, head);
    EXPECT_THAT(head, ::testing::ElementsAre(7, 8, 0));  // what was never written is zero
}

TEST(File, CreatingEmptiesWhatWasThere) {
    const TempFolder folder;
    folder.write("a", "old content");
    EXPECT_EQ(File(folder.path() / "a", File::Mode::create).size(), 0U);
}

TEST(File, FaultsAreWorkingErrorsWithThePath) {
    const TempFolder folder;
    testing::expect_error([&] { File(folder.path() / "missing", File::Mode::read); }, Fault::working,
                          {"missing", "cannot be opened"});
    testing::expect_error([&] { File(folder.path() / "no" / "a", File::Mode::create); }, Fault::working,
                          {"cannot be created"});
    const std::string path = folder.write("short", "abc");
    testing::expect_error(
        [&] {
            std::array<unsigned char, 4> bytes{};
            File(path, File::Mode::read).read_at(0, bytes);
        },
        Fault::working, {"short", "too early"});
}

TEST(File, NoRoomIsAPassingError) {
    if (!fs::exists("/dev/full")) {
        GTEST_SKIP() << "no /dev/full on this machine: test skipped";
    }
    testing::expect_error([] { File("/dev/full", File::Mode::create).write_at(0, std::array<unsigned char, 1>{1}); },
                          Fault::passing, {"/dev/full", "room"});
}

TEST(File, PublishingReplacesInOneStep) {
    const TempFolder folder;
    for (auto* const put : {&publish, &move_into_place}) {
        folder.write("draft", "new");
        folder.write("out", "old");
        put(folder.path() / "draft", folder.path() / "out");
        EXPECT_EQ(content(folder.path() / "out"), "new");
        EXPECT_FALSE(fs::exists(folder.path() / "draft"));
    }
    testing::expect_error([&] { publish(folder.path() / "none", folder.path() / "out"); }, Fault::working, {"none"});
    EXPECT_EQ(content(folder.path() / "out"), "new");
}

TEST(WorkFolder, IsMadeAndGoesAway) {
    const TempFolder folder;
    const fs::path path = folder.path() / "work";
    {
        const WorkFolder work(path);
        EXPECT_EQ(work.path(), path);
        EXPECT_TRUE(fs::is_directory(path));
        std::ofstream(path / "0.rows") << "x";
    }
    EXPECT_FALSE(fs::exists(path));
}

TEST(WorkFolder, IsForOneAtATime) {
    const TempFolder folder;
    const fs::path path = folder.path() / "work";
    const WorkFolder first(path);
    std::ofstream(path / "0.rows") << "x";
    testing::expect_error([&] { const WorkFolder second(path); }, Fault::passing, {"work", "another run"});
    EXPECT_EQ(content(path / "0.rows"), "x");  // the one at work keeps its files
}

TEST(WorkFolder, IsForOneProcessAtATime) {
    const TempFolder folder;
    const fs::path path = folder.path() / "work";
    const WorkFolder first(path);
    const pid_t child = fork();
    if (child == 0) {
        try {
            const WorkFolder second(path);
            _exit(0);
        } catch (const Error& error) {
            _exit(error.exit_code());
        }
    }
    int status = 0;
    ASSERT_EQ(waitpid(child, &status, 0), child);
    EXPECT_EQ(WEXITSTATUS(status), 75);
}

TEST(WorkFolder, ClearsWhatAKilledRunLeft) {
    const TempFolder folder;
    const fs::path path = folder.path() / "work";
    fs::create_directories(path / "sub");
    folder.write("work/lock", "");
    folder.write("work/sub/torn", "x");
    const WorkFolder work(path);
    EXPECT_EQ(std::distance(fs::directory_iterator(path), {}), 1);
}

// What is not a run's own is never cleared away.
TEST(WorkFolder, RefusesAFolderThatHoldsOtherFiles) {
    const TempFolder folder;
    const fs::path path = folder.path() / "work";
    fs::create_directory(path);
    folder.write("work/letter.txt", "dear");
    testing::expect_input_error([&] { const WorkFolder work(path); }, {"work", "not a run's"});
    EXPECT_EQ(content(path / "letter.txt"), "dear");
    EXPECT_FALSE(fs::exists(path / "lock"));
}

TEST(WorkFolder, RefusesALinkAndAFile) {
    const TempFolder folder;
    fs::create_directory(folder.path() / "home");
    folder.write("home/letter.txt", "dear");
    folder.write("home/lock", "");
    fs::create_directory_symlink(folder.path() / "home", folder.path() / "link");
    testing::expect_input_error([&] { const WorkFolder work(folder.path() / "link"); }, {"link", "no folder"});
    EXPECT_EQ(content(folder.path() / "home" / "letter.txt"), "dear");
    folder.write("file", "x");
    testing::expect_input_error([&] { const WorkFolder work(folder.path() / "file"); }, {"file", "no folder"});
}

TEST(FreeBytes, AreThereWhereTheFolderIs) {
    const TempFolder folder;
    EXPECT_GT(free_bytes(folder.path()), 0U);
    EXPECT_GT(free_bytes(""), 0U);
    EXPECT_EQ(free_bytes(folder.path() / "missing" / "deeper"), 0U);
}

TEST(ScratchFolder, IsANewOneEachTimeAndGoesWithAllInIt) {
    std::filesystem::path first;
    {
        const ScratchFolder a;
        const ScratchFolder b;
        first = a.path();
        EXPECT_NE(a.path(), b.path());
        std::ofstream(a.path() / "file") << "x";
        std::filesystem::create_directory(a.path() / "folder");
        EXPECT_TRUE(std::filesystem::exists(a.path() / "file"));
    }
    EXPECT_FALSE(std::filesystem::exists(first));
}

}  // namespace
}  // namespace eaveshed
