// What the world does to a run beside failing calls: disks that fill, folders that vanish or close, inputs that change
// or are locked meanwhile, another run, kills and stops at any time.
#include <sqlite3.h>
#include <sys/mount.h>
#include <sys/stat.h>

#include <random>

#include "faults/sweep.hpp"

namespace eaveshed::testing {
namespace {

class Surroundings : public ::testing::Test {
protected:
    void SetUp() override {
        if (kSanitized) {
            GTEST_SKIP() << "a sanitizer replaces the calls that are to fail: test skipped";
        }
        ASSERT_EQ(screen_trial().trouble(), "");
    }

    // Faults of a screening whose ends have one of these codes.
    static void expect(const std::vector<Fault>& faults, const std::set<int>& codes, const std::string& part) {
        each_of(faults.size(), [&](std::size_t i) {
            const Outcome outcome = screen_trial().with(faults[i]);
            EXPECT_EQ(outcome.wrong, "") << outcome.struck;
            EXPECT_TRUE(codes.contains(outcome.ended.code)) << outcome.ended.code << ' ' << outcome.ended.errors;
            if (outcome.ended.code != 0) {
                EXPECT_NE(outcome.ended.errors.find(part), std::string::npos) << outcome.ended.errors;
            }
        });
    }
    // The same at places spread over all calls of that kind.
    static std::vector<Fault> spread(Fault fault, long some) {
        std::vector<Fault> all;
        const long calls = screen_trial().count(fault);
        for (const long place : places(calls, some)) {
            fault.at = place;
            all.push_back(fault);
        }
        return all;
    }
};

// An input that is cut, or taken away, at any time: never a result that is not that of the whole input.
TEST_F(Surroundings, AnInputThatIsCutMeanwhileIsTold) {
    for (const char* const input : {"dem.tif", "buildings.gpkg", "rain.tif", "parcels.gpkg"}) {
        const Fault fault{.call = "write", .action = std::string("cut ") + input};
        for (const Fault& one : spread(fault, 2)) {
            TempFolder folder;
            fs::create_directory(folder.path() / "tmp");
            write_files(basin_files(), folder.path());
            const Ended ended = screen_trial().run_in(folder.path(), one);
            EXPECT_TRUE(std::set<int>({1, 2, 75}).contains(ended.code) || ended.code == 0) << ended.errors;
            const fs::path output = folder.path() / "out.gpkg";
            if (ended.code == 0) {  // its last use was over
                EXPECT_EQ(bytes_of(output.string()), screen_trial().reference().at("out.gpkg")) << input;
            } else {
                EXPECT_FALSE(fs::exists(output)) << input;
                EXPECT_NE(ended.errors.find(input), std::string::npos) << ended.errors;
            }
        }
    }
}

TEST_F(Surroundings, AnInputThatIsTakenAwayMeanwhileIsTold) {
    for (const char* const input : {"dem.tif", "rain.tif"}) {
        expect(spread({.call = "write", .action = std::string("hide ") + input}, 2), {0, 1, 2}, input);
    }
}

TEST_F(Surroundings, AWorkFolderThatVanishesMeanwhileIsTold) {
    expect(spread({.call = "write", .action = "hide out.gpkg.work", .under = "out.gpkg.work"}, 4), {0, 1}, "out.gpkg");
}

TEST_F(Surroundings, TwoRunsOfOneOutputDoNotMeet) {
    for (int i = 0; i < (whole_sweep() ? 40 : 3); ++i) {
        TempFolder folder;
        write_files(basin_files(), folder.path());
        const Words words{program(), "screen", "basin.toml", "-o", "out.gpkg", "--quiet"};
        Running first(words, folder.path(), {});
        std::this_thread::sleep_for(std::chrono::milliseconds(10 * (i % 20)));
        Running second(words, folder.path(), {});
        const Ended of_first = first.wait();
        const Ended of_second = second.wait();
        // The one that came late finds the other at work, or its result.
        EXPECT_TRUE((of_first.code == 0) != (of_second.code == 0)) << of_first.errors << of_second.errors;
        const Ended& late = of_first.code == 0 ? of_second : of_first;
        EXPECT_TRUE(late.code == 75 || late.code == 2) << late.code << ' ' << late.errors;
        EXPECT_EQ(bytes_of(folder.file("out.gpkg")), screen_trial().reference().at("out.gpkg"));
        EXPECT_FALSE(fs::exists(folder.path() / "out.gpkg.work"));
    }
}

TEST_F(Surroundings, AKillOrAStopAtAnyTimeIsTakenUp) {
    std::mt19937 chance(17);
    for (int i = 0; i < (whole_sweep() ? 100 : 4); ++i) {
        TempFolder folder;
        fs::create_directory(folder.path() / "work");
        fs::create_directory(folder.path() / "tmp");
        Files before = basin_files();
        before["out.gpkg"] = "what stood there before";
        write_files(before, folder.path() / "work");
        Running run({program(), "screen", "basin.toml", "-o", "out.gpkg", "--overwrite", "--threads", "2", "--progress",
                     "none"},
                    folder.path() / "work", {"TMPDIR=" + (folder.path() / "tmp").string()});
        std::this_thread::sleep_for(std::chrono::milliseconds(std::uniform_int_distribution<int>(0, 300)(chance)));
        run.send(i % 2 == 0 ? SIGKILL : SIGTERM);
        const Ended ended = run.wait();
        if (ended.code == -SIGTERM) {  // before the program could listen
            continue;
        }
        EXPECT_EQ(screen_trial().judge_there(ended, folder.path() / "work", folder.path() / "tmp", i % 2 == 0), "")
            << i;
    }
}

// A lock that is held longer than a reader waits.
TEST_F(Surroundings, AnInputThatAnotherProgramLocksIsAPassingTrouble) {
    TempFolder folder;
    write_files(basin_files(), folder.path());
    sqlite3* other = nullptr;
    ASSERT_EQ(sqlite3_open(folder.file("buildings.gpkg").c_str(), &other), SQLITE_OK);
    ASSERT_EQ(sqlite3_exec(other, "BEGIN EXCLUSIVE", nullptr, nullptr, nullptr), SQLITE_OK);
    const Ended ended =
        Running({program(), "screen", "basin.toml", "-o", "out.gpkg", "--quiet"}, folder.path(), {}).wait();
    sqlite3_close(other);
    EXPECT_EQ(ended.code, 75) << ended.errors;
    EXPECT_NE(ended.errors.find("buildings.gpkg"), std::string::npos) << ended.errors;
    EXPECT_FALSE(fs::exists(folder.path() / "out.gpkg.work"));
}

// A disk of its own of so many KiB; left out where none can be mounted.
class SmallDisk {
public:
    explicit SmallDisk(long kib) {
        m_mounted = ::mount("none", m_folder.path().c_str(), "tmpfs", 0, fmt::format("size={}k", kib).c_str()) == 0;
    }
    ~SmallDisk() {
        if (m_mounted) {
            ::umount2(m_folder.path().c_str(), MNT_DETACH);
        }
    }
    SmallDisk(const SmallDisk&) = delete;
    SmallDisk& operator=(const SmallDisk&) = delete;
    [[nodiscard]] bool mounted() const { return m_mounted; }
    [[nodiscard]] const fs::path& path() const { return m_folder.path(); }
    void grow() const { ASSERT_EQ(::mount("none", m_folder.path().c_str(), "tmpfs", MS_REMOUNT, "size=64m"), 0); }
    void close() const {
        ASSERT_EQ(::mount("none", m_folder.path().c_str(), "tmpfs", MS_REMOUNT | MS_RDONLY, nullptr), 0);
    }

private:
    TempFolder m_folder;
    bool m_mounted = false;
};

TEST_F(Surroundings, AFullDiskIsAPassingTroubleAndTheRunGoesOnWhenThereIsRoom) {
    const long needed_kib = static_cast<long>(screen_trial().reference().at("out.gpkg").size() / 1024) + 300;
    const long step = whole_sweep() ? 16 : needed_kib / 4;
    for (long kib = 4; kib < needed_kib; kib += step) {
        const SmallDisk disk(kib);
        if (!disk.mounted()) {
            GTEST_SKIP() << "no disk of a test's own can be mounted here: test skipped";
        }
        TempFolder folder;
        write_files(basin_files(), folder.path());
        const std::string output = (disk.path() / "out.gpkg").string();
        const Words words{program(), "screen", "basin.toml", "-o", output, "--progress", "none"};
        const Ended ended = Running(words, folder.path(), {}).wait();
        if (ended.code == 0) {
            continue;  // it had room
        }
        EXPECT_EQ(ended.code, 75) << kib << ' ' << ended.errors;
        EXPECT_NE(ended.errors.find(output), std::string::npos) << ended.errors;
        EXPECT_NE(ended.errors.find(" free"), std::string::npos) << ended.errors;
        EXPECT_FALSE(fs::exists(output));
        disk.grow();
        Words again = words;
        again.emplace_back("--resume");
        EXPECT_EQ(Running(again, folder.path(), {}).wait().code, 0);
        EXPECT_EQ(bytes_of(output), screen_trial().reference().at("out.gpkg")) << kib;
        EXPECT_EQ(files_in(disk.path()).size(), 1U);
    }
}

TEST_F(Surroundings, ADiskThatIsOnlyReadIsToldBeforeTheWork) {
    const SmallDisk disk(1000);
    if (!disk.mounted()) {
        GTEST_SKIP() << "no disk of a test's own can be mounted here: test skipped";
    }
    disk.close();
    TempFolder folder;
    write_files(screen_trial().reference(), folder.path());
    const std::string there = (disk.path() / "x").string();
    for (const Words& words : std::vector<Words>{{"screen", "basin.toml", "-o", there + ".gpkg"},
                                                 {"split", "basin.toml", "--parts", "2", "-o", there},
                                                 {"screen", "basin.toml", "-o", "other.gpkg", "--log", there},
                                                 {"rank", "out.gpkg", "--csv", there + ".csv"},
                                                 {"rank", "out.gpkg", "--xlsx", there + ".xlsx"},
                                                 {"enrol", "out.gpkg", "--budget", "9000", "--csv", there + ".csv"},
                                                 {"compare", "out.gpkg", "out.gpkg", "--csv", there + ".csv"},
                                                 {"report", "out.gpkg", "-o", there},
                                                 {"styles", "out.gpkg", "-o", there},
                                                 {"check", "--new", "dem.tif", "rain.tif", "-o", there + ".toml"}}) {
        Words all{program()};
        all.insert(all.end(), words.begin(), words.end());
        const Ended ended = Running(all, folder.path(), {}).wait();
        EXPECT_EQ(ended.code, 2) << words.front() << ' ' << ended.errors;
        EXPECT_NE(ended.errors.find(there), std::string::npos) << ended.errors;
    }
    EXPECT_EQ(files_in(folder.path()), screen_trial().reference());
}

// Lists, reports, plans and drafted project files, as the GeoPackage of a screening.
TEST_F(Surroundings, AFullDiskIsAPassingTroubleOfEveryCommand) {
    TempFolder folder;
    write_files(screen_trial().reference(), folder.path());
    for (const Words& words :
         std::vector<Words>{{"split", "basin.toml", "--parts", "2", "-o", "x"},
                            {"rank", "out.gpkg", "--csv", "x.csv"},
                            {"rank", "out.gpkg", "--xlsx", "x.xlsx"},
                            {"report", "out.gpkg", "-o", "x"},
                            {"styles", "out.gpkg", "-o", "x"},
                            {"check", "--new", "buildings.gpkg", "dem.tif", "rain.tif", "-o", "x.toml"}}) {
        const SmallDisk disk(4);
        if (!disk.mounted()) {
            GTEST_SKIP() << "no disk of a test's own can be mounted here: test skipped";
        }
        std::ofstream(disk.path() / "full") << std::string(1U << 16U, 'x');
        Words all{program()};
        all.insert(all.end(), words.begin(), words.end());
        all.back() = (disk.path() / all.back()).string();
        const Ended ended = Running(all, folder.path(), {}).wait();
        EXPECT_EQ(ended.code, 75) << words.front() << ' ' << ended.errors;
        EXPECT_NE(ended.errors.find(disk.path().string()), std::string::npos) << ended.errors;
        EXPECT_EQ(files_in(disk.path()).size(), 1U) << words.front();
    }
}

TEST_F(Surroundings, NoRoomForTemporaryFilesIsAPassingTrouble) {
    TempFolder folder;
    write_files(screen_trial().reference(), folder.path());
    for (const long kib : {4L, 12L, 24L}) {
        const SmallDisk disk(kib);
        if (!disk.mounted()) {
            GTEST_SKIP() << "no disk of a test's own can be mounted here: test skipped";
        }
        for (const Words& words : std::vector<Words>{{"rank", "out.gpkg", "--xlsx", "x.xlsx", "--overwrite"},
                                                     {"explain", "out.gpkg", "--roof", "R01"},
                                                     {"report", "out.gpkg", "-o", "x", "--top", "2", "--overwrite"}}) {
            Words all{program()};
            all.insert(all.end(), words.begin(), words.end());
            const Ended ended = Running(all, folder.path(), {"TMPDIR=" + disk.path().string()}).wait();
            EXPECT_TRUE(ended.code == 75 || ended.code == 0) << words.front() << ' ' << ended.code << ended.errors;
            EXPECT_TRUE(fs::is_empty(disk.path())) << words.front();
        }
    }
}

}  // namespace
}  // namespace eaveshed::testing
