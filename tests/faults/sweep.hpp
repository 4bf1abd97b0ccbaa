// Many faults in one piece of work: where they can strike, what came of each, and how many of each there were.
//
// CI tries a few places of each kind. EAVESHED_FAULT_SWEEP=whole tries all kinds at all places, a number at so many of
// each (scripts/fault_sweep); EAVESHED_FAULT_SHOW prints what every run said.
#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <atomic>
#include <cstdlib>
#include <iostream>
#include <limits>
#include <mutex>
#include <optional>
#include <thread>

#include "faults/trial.hpp"
#include "run/small_basin.hpp"

namespace eaveshed::testing {

inline constexpr const char* kEio = "5";
inline constexpr const char* kNoMemory = "12";
inline constexpr const char* kTooManyFiles = "24";
inline constexpr const char* kNoRoom = "28";
inline constexpr const char* kReadOnly = "30";

inline constexpr bool kSanitized =
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
    true;  // a sanitizer replaces the same calls
#else
    false;
#endif

// Places of each kind that are tried beyond what CI tries; none in CI.
inline std::optional<long> asked_places() {
    const char* const asked = std::getenv("EAVESHED_FAULT_SWEEP");
    if (asked == nullptr || *asked == '\0') {
        return std::nullopt;
    }
    return std::string(asked) == "whole" ? std::numeric_limits<long>::max() : std::atol(asked);
}
inline bool whole_sweep() {
    return asked_places().has_value();
}

// The inputs, once for all tests of this program.
inline const Files& basin_files() {
    static const Files files = [] {
        const TempFolder folder;
        SmallBasin basin;
        basin.settings = "[[tanks]]\nvolume_m3 = 20\ndiameter_m = 3\nheight_m = 3\ncost = 5000\n";
        write_basin(folder, basin);
        return files_in(folder.path());
    }();
    return files;
}

// The program of the build, or another one.
inline std::string program() {
    const char* const other = std::getenv("EAVESHED_FAULT_PROGRAM");
    return other != nullptr ? other : EAVESHED_PROGRAM;
}
inline std::string fault_library() {
    const char* const other = std::getenv("EAVESHED_FAULT_LIBRARY");
    return other != nullptr ? other : EAVESHED_FAULT_LIBRARY;
}

inline Trial trial_of(Work work) {
    return {program(), fault_library(), std::move(work)};
}

// A screening that is to replace an earlier result.
inline Work screening() {
    Work work;
    work.words = {"screen", "basin.toml", "-o", "out.gpkg", "--overwrite", "--threads", "2", "--progress", "none"};
    work.again = work.words;
    work.again.emplace_back("--resume");
    work.before = basin_files();
    work.before["out.gpkg"] = "what stood there before";
    work.may_stay = {"out.gpkg.work/", "out.gpkg.work/lock", "out.gpkg.work/plan.json", "out.gpkg.work/rows"};
    work.of_dead = {"out.gpkg.work/"};
    work.may_stop = true;
    return work;
}

inline const Trial& screen_trial() {
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

inline void count(const Fault& fault, const Outcome& outcome, Tally& tally) {
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

inline std::vector<long> spread_over(long count, long some) {
    std::vector<long> chosen;
    for (long i = 1; i <= std::min(count, some); ++i) {
        chosen.push_back(i * count / std::min(count, some));
    }
    return chosen;
}

// All places, or some that are spread over them with the last; 0 of CI: the whole sweep alone tries this kind.
inline std::vector<long> places(long count, long some) {
    return spread_over(count, asked_places().value_or(some));
}

// Several at a time.
template <typename Try>
void each_of(std::size_t count, const Try& one) {
    std::atomic<std::size_t> next{0};
    const auto work = [&] {
        for (std::size_t i = next++; i < count; i = next++) {
            one(i);
        }
    };
    std::vector<std::jthread> threads;
    for (unsigned i = 0; i < std::clamp(std::thread::hardware_concurrency(), 1U, 2U); ++i) {
        threads.emplace_back(work);
    }
}

// The line that scripts/fault_sweep gathers.
inline void tell(const Tally& tally, const std::string& kind) {
    std::cout << fmt::format("{}: {} injected, {} survived, {} told, {} wrong\n", kind, tally.injected, tally.survived,
                             tally.told, tally.wrong.size());
    EXPECT_GT(tally.injected, 0) << "no fault of this kind can be put into the run";
    for (const std::string& wrong : tally.wrong) {
        ADD_FAILURE() << wrong;
    }
}

inline void try_all(const Trial& trial, const std::vector<Fault>& faults, const std::string& kind) {
    Tally tally;
    each_of(faults.size(), [&](std::size_t i) { count(faults[i], trial.with(faults[i]), tally); });
    tell(tally, kind);
}

inline void sweep(const Trial& trial, const Fault& fault, long some, const std::string& what) {
    ASSERT_EQ(trial.trouble(), "");
    const long calls = trial.count(fault);
    ASSERT_GT(calls, 0) << fault.call;
    std::vector<Fault> faults;
    constexpr long kByteSteps = 200;
    const long most = std::min(kByteSteps, asked_places().value_or(some));  // of bytes there are too many
    for (const long place : fault.bytes >= 0 ? spread_over(calls, most) : places(calls, some)) {
        faults.push_back(fault);
        (fault.bytes >= 0 ? faults.back().bytes : faults.back().at) = place;
    }
    try_all(trial, faults, what + ", " + fault.call + " " + fault.action + (fault.on ? " and all later" : ""));
}

}  // namespace eaveshed::testing
