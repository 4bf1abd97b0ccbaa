#include "eaveshed/files/file.hpp"
#include "eaveshed/files/checked_file.hpp"

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
                          Fault::passing, {"/dev/full", "needs 1 bytes", "free", "room"});
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
    {
        WorkFolder killed(path);
        constexpr std::array<std::string_view, 1> kKept{"rows"};
        killed.keep(kKept);
        folder.write("work/rows", "rows");
        folder.write("work/draft", "torn");
    }
    EXPECT_EQ(content(path / "rows"), "rows");
    EXPECT_FALSE(fs::exists(path / "draft"));
    EXPECT_TRUE(is_work_folder(path));
    fs::create_directory(path / "sub");
    folder.write("work/sub/torn", "x");
    constexpr std::array<std::string_view, 1> kTakenUp{"rows"};
    {
        WorkFolder again(path, kTakenUp);
        EXPECT_EQ(content(path / "rows"), "rows");
        EXPECT_FALSE(fs::exists(path / "sub"));
        again.keep(kTakenUp);
    }
    const WorkFolder anew(path);
    EXPECT_EQ(std::distance(fs::directory_iterator(path), {}), 1);
}

// Killed between making the folder and saying whose it is.
TEST(WorkFolder, TakesAFolderWithNothingOrAnEmptyLock) {
    const TempFolder folder;
    fs::create_directory(folder.path() / "empty");
    { const WorkFolder work(folder.path() / "empty"); }
    fs::create_directory(folder.path() / "locked");
    folder.write("locked/lock", "");
    const WorkFolder work(folder.path() / "locked");
    EXPECT_TRUE(is_work_folder(work.path()));
}

// Another program's lock is no mark of ours.
TEST(WorkFolder, RefusesAFolderWithSomebodyElsesLock) {
    const TempFolder folder;
    fs::create_directory(folder.path() / "work");
    folder.write("work/lock", "pid 4711\n");
    folder.write("work/letter.txt", "dear");
    testing::expect_input_error([&] { const WorkFolder work(folder.path() / "work"); }, {"work", "not a run's"});
    folder.write("work/lock", "");
    testing::expect_input_error([&] { const WorkFolder work(folder.path() / "work"); }, {"work", "not a run's"});
    EXPECT_EQ(content(folder.path() / "work" / "letter.txt"), "dear");
    EXPECT_FALSE(is_work_folder(folder.path() / "work"));
}

TEST(DraftFile, IsGoneWithItsWriterAndSafeFromOthersMeanwhile) {
    const TempFolder folder;
    fs::path path;
    {
        const DraftFile draft(folder.path(), "3.draft-");
        const DraftFile other(folder.path(), "3.draft-");
        path = draft.path();
        EXPECT_NE(path, other.path());
        remove_dead_drafts(folder.path(), "3.draft-");
        EXPECT_TRUE(fs::exists(path));
        EXPECT_TRUE(fs::exists(other.path()));
    }
    EXPECT_FALSE(fs::exists(path));
    folder.write("3.draft-host-1-0", "of a writer that was killed");
    folder.write("4.draft-host-1-0", "of another part");
    remove_dead_drafts(folder.path(), "3.draft-");
    EXPECT_FALSE(fs::exists(folder.file("3.draft-host-1-0")));
    EXPECT_TRUE(fs::exists(folder.file("4.draft-host-1-0")));
}

TEST(CheckedFile, ComesBackOrIsRefused) {
    const TempFolder folder;
    const fs::path path = folder.path() / "plan";
    const std::vector<unsigned char> bytes{1, 2, 3};
    write_checked(path, bytes);
    EXPECT_EQ(read_checked(path), bytes);
    const std::string whole = content(path);
    for (const std::string& bad : {whole.substr(0, whole.size() - 1), whole + "x", std::string()}) {
        folder.write("plan", bad);
        testing::expect_error([&] { static_cast<void>(read_checked(path)); }, Fault::working, {"plan", "checksum"});
    }
}

TEST(File, IsNeverWrittenThroughALink) {
    const TempFolder folder;
    folder.write("there", "x");
    fs::create_symlink(folder.path() / "there", folder.path() / "link");
    for (const auto mode :
         {File::Mode::create, File::Mode::create_private, File::Mode::create_new, File::Mode::update}) {
        testing::expect_error([&] { File(folder.path() / "link", mode); }, Fault::working, {"link"});
    }
    EXPECT_EQ(content(folder.path() / "there"), "x");
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
    folder.write("home/lock", "work folder of eaveshed\n");
    fs::create_directory_symlink(folder.path() / "home", folder.path() / "link");
    testing::expect_input_error([&] { const WorkFolder work(folder.path() / "link"); }, {"link", "no folder"});
    EXPECT_EQ(content(folder.path() / "home" / "letter.txt"), "dear");
    folder.write("file", "x");
    testing::expect_input_error([&] { const WorkFolder work(folder.path() / "file"); }, {"file", "no folder"});
}

// A name that is already too long for the folder: what no later try changes.
TEST(WorkFolder, APlaceWhereNoneCanBeMadeIsAnInputError) {
    const TempFolder folder;
    testing::expect_input_error([&] { const WorkFolder work(folder.path() / std::string(300, 'x')); },
                                {"cannot be made", "-o"});
    testing::expect_input_error([&] { const WorkFolder work(folder.path() / "no" / "work"); }, {"cannot be made"});
}

TEST(WorkFolder, IsRemovedByHandOnceAndSaysWhetherItIsGone) {
    const TempFolder folder;
    WorkFolder work(folder.path() / "work");
    constexpr std::array<std::string_view, 1> kKept{"rows"};
    work.keep(kKept);
    folder.write("work/rows", "rows");
    EXPECT_TRUE(work.remove());
    EXPECT_FALSE(fs::exists(folder.path() / "work"));
    fs::create_directory(folder.path() / "work");  // of the next run
    EXPECT_FALSE(work.remove());
    EXPECT_TRUE(fs::exists(folder.path() / "work"));
}

TEST(WorkFolder, OfAKilledRunIsTakenAwayAndNoOther) {
    const TempFolder folder;
    fs::create_directory(folder.path() / "dead");
    folder.write("dead/lock", "work folder of eaveshed\n");
    folder.write("dead/rows", "rows");
    remove_dead_work_folder(folder.path() / "dead");
    EXPECT_FALSE(fs::exists(folder.path() / "dead"));
    fs::create_directory(folder.path() / "home");
    folder.write("home/letter.txt", "dear");
    remove_dead_work_folder(folder.path() / "home");
    EXPECT_EQ(content(folder.path() / "home" / "letter.txt"), "dear");
    const WorkFolder used(folder.path() / "used");
    folder.write("used/rows", "rows");
    remove_dead_work_folder(folder.path() / "used");
    EXPECT_EQ(content(folder.path() / "used" / "rows"), "rows");
    EXPECT_NO_THROW(remove_dead_work_folder(folder.path() / "none"));
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
