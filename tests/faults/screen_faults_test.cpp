// Faults, one a run, at every place of a screening where one can strike: the Nth open, write, sync, rename, unlink,
// mapping or allocation fails, the disk fills after so many bytes, the process is killed there. Whatever happens: a
// code that says so, words that say why, no file that is neither the earlier nor the finished one, nothing left over,
// and the same bytes when it is done again.
#include "faults/sweep.hpp"

namespace eaveshed::testing {
namespace {

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
    if (kSanitized) {
        GTEST_SKIP() << "a sanitizer replaces the calls that are to fail: test skipped";
    }
    sweep(screen_trial(), GetParam().fault, GetParam().some, "screen");
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
}  // namespace eaveshed::testing
