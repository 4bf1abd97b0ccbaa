// Faults, one a run, at every place where one can strike: the Nth open, write, sync, rename, unlink, mapping or
// allocation fails, the disk fills after so many bytes, the process is killed there. Whatever happens: a code that says
// so, words that say why, no file that is neither the earlier nor the finished one, nothing left over, and the same
// bytes when it is done again.
//
// CI tries a few places of each kind. EAVESHED_FAULT_SWEEP=whole tries all (scripts/fault_sweep).
#include <gtest/gtest.h>

#include <algorithm>
#include <atomic>
#include <cstdlib>
#include <iostream>
#include <mutex>
#include <thread>

#include "faults/trial.hpp"
#include "run/small_basin.hpp"

namespace eaveshed {
namespace {

using testing::Fault;
using testing::Files;
using testing::Outcome;
using testing::Trial;
using testing::Work;

bool whole_sweep() {
    const char* const asked = std::getenv("EAVESHED_FAULT_SWEEP");
    return asked != nullptr && std::string(asked) == "whole";
}

// The inputs, once for all tests of this program.
const Files& basin_files() {
    static const Files files = [] {
        const testing::TempFolder folder;
        SmallBasin basin;
        basin.settings = "[[tanks]]\nvolume_m3 = 20\ndiameter_m = 3\nheight_m = 3\ncost = 5000\n";
        write_basin(folder, basin);
        return testing::files_in(folder.path());
    }();
    return files;
}

Trial trial_of(Work work) {
    return {EAVESHED_PROGRAM, EAVESHED_FAULT_LIBRARY, std::move(work)};
}

// A screening that is to replace an earlier result.
Work screening() {
    Work work;
    work.words = {"screen", "basin.toml", "-o", "out.gpkg", "--overwrite", "--threads", "2", "--progress", "none"};
    work.again = work.words;
    work.again.emplace_back("--resume");
    work.before = basin_files();
    work.before["out.gpkg"] = "what stood there before";
    work.may_stay = {"out.gpkg.work/lock", "out.gpkg.work/plan.json", "out.gpkg.work/rows"};
    work.of_dead = {"out.gpkg.work/"};
    work.may_stop = true;
    return work;
}

const Trial& screen_trial() {
    static const Trial trial = trial_of(screening());
    return trial;
}

struct Tally {
    std::mutex guard;
    int injected = 0;
    int survived = 0;
    int told = 0;
    std::vector<std::string> wrong;
};

void count(const Fault& fault, const Outcome& outcome, Tally& tally) {
    const std::scoped_lock lock(tally.guard);
    if (outcome.struck.empty() && outcome.wrong.empty()) {
        return;  // the run had no such call
    }
    ++tally.injected;
    tally.survived += outcome.wrong.empty() && outcome.ended.code == 0 ? 1 : 0;
    tally.told += outcome.wrong.empty() && outcome.ended.code != 0 ? 1 : 0;
    if (!outcome.wrong.empty()) {
        tally.wrong.push_back(fmt::format("{} {} ({}) struck [{}]: {}", fault.call,
                                          fault.bytes >= 0 ? fault.bytes : fault.at, fault.action, outcome.struck,
                                          outcome.wrong));
    }
    if (std::getenv("EAVESHED_FAULT_SHOW") != nullptr) {
        std::cout << fmt::format("  {} {} {}: {} {}\n", outcome.struck, fault.action, outcome.ended.code,
                                 outcome.ended.errors, outcome.wrong);
    }
}

// All places, or some that are spread over them with the last.
std::vector<long> places(long count, long some) {
    std::vector<long> chosen;
    const long most = whole_sweep() ? count : std::min(count, some);
    for (long i = 1; i <= most; ++i) {
        chosen.push_back(i * count / most);
    }
    return chosen;
}

void try_all(const Trial& trial, const std::vector<Fault>& faults, const std::string& kind) {
    Tally tally;
    std::atomic<std::size_t> next{0};
    const auto work = [&] {
        for (std::size_t i = next++; i < faults.size(); i = next++) {
            count(faults[i], trial.with(faults[i]), tally);
        }
    };
    {
        const unsigned hands = std::max(1U, std::min(4U, std::thread::hardware_concurrency()));
        std::vector<std::jthread> threads;
        for (unsigned i = 0; i < hands; ++i) {
            threads.emplace_back(work);
        }
    }
    std::cout << fmt::format("{}: {} injected, {} survived, {} told, {} wrong\n", kind, tally.injected, tally.survived,
                             tally.told, tally.wrong.size());
    EXPECT_GT(tally.injected, 0) << "no fault of this kind can be put into the run";
    for (const std::string& wrong : tally.wrong) {
        ADD_FAILURE() << wrong;
    }
}

void sweep(const Trial& trial, const Fault& fault, long some, const std::string& what) {
    ASSERT_EQ(trial.trouble(), "");
    const long calls = trial.count(fault);
    ASSERT_GT(calls, 0) << fault.call;
    std::vector<Fault> faults;
    for (const long place : places(calls, some)) {
        faults.push_back(fault);
        (fault.bytes >= 0 ? faults.back().bytes : faults.back().at) = place;
    }
    try_all(trial, faults, what + ", " + fault.call + " " + fault.action + (fault.on ? " and all later" : ""));
}

constexpr const char* kEio = "5";
constexpr const char* kNoMemory = "12";
constexpr const char* kTooManyFiles = "24";
constexpr const char* kNoRoom = "28";
constexpr const char* kReadOnly = "30";

// What strikes a screening: the call, what happens, which files.
struct Kind {
    const char* name;
    Fault fault;
    long some = 5;
};
void PrintTo(const Kind& kind, std::ostream* out) {
    *out << kind.name;
}

class Screening : public ::testing::TestWithParam<Kind> {};

TEST_P(Screening, LosesNothingAndSaysWhy) {
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
    GTEST_SKIP() << "a sanitizer replaces the same calls";
#else
    sweep(screen_trial(), GetParam().fault, GetParam().some, "screen");
#endif
}

INSTANTIATE_TEST_SUITE_P(
    Faults, Screening,
    ::testing::Values(
        Kind{"OpenFails", {.call = "open", .action = kEio, .under = "*"}, 6},
        Kind{"OpenFailsForGood", {.call = "open", .action = kTooManyFiles, .on = true, .under = "*"}},
        Kind{"ReadFails", {.call = "read", .action = kEio}, 8},
        Kind{"WriteFails", {.call = "write", .action = kEio}, 8},
        Kind{"WriteFailsForGood", {.call = "write", .action = kReadOnly, .on = true}},
        Kind{"DiskFull", {.call = "write", .action = kNoRoom, .bytes = 0}, 8},
        Kind{"SyncFails", {.call = "sync", .action = kEio}, 9},
        Kind{"RenameFails", {.call = "rename", .action = kEio}, 9},
        Kind{"UnlinkFails", {.call = "unlink", .action = kEio}}, Kind{"CutFails", {.call = "cut", .action = kEio}, 3},
        Kind{"FolderFails", {.call = "folder", .action = kReadOnly}, 3},
        Kind{"MapFails", {.call = "map", .action = kNoMemory, .under = "*"}, 3},
        Kind{"AllocationFails", {.call = "allocate", .action = kNoMemory, .under = "*", .least = 65536}, 6},
        Kind{"KilledAtWrite", {.call = "write", .action = "kill"}, 6},
        Kind{"KilledAtRename", {.call = "rename", .action = "kill"}, 5},
        Kind{"KilledAtUnlink", {.call = "unlink", .action = "kill"}, 4},
        Kind{"StoppedAtRead", {.call = "read", .action = "term"}, 6}),
    [](const ::testing::TestParamInfo<Kind>& kind) { return std::string(kind.param.name); });

}  // namespace
}  // namespace eaveshed
