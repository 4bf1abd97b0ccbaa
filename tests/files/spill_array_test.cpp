#include "eaveshed/files/spill_array.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <numeric>
#include <string>

#include "support/expect_error.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using testing::TempFolder;
namespace fs = std::filesystem;

constexpr std::size_t kMany = 3 * SpillBytes::kInMemoryBytes / sizeof(std::uint64_t);

// Resident pages of files, of this process.
std::uint64_t resident_file_kib() {
    std::ifstream status("/proc/self/status");
    for (std::string word; status >> word;) {
        if (word == "RssFile:") {
            std::uint64_t kib = 0;
            status >> kib;
            return kib;
        }
    }
    return 0;
}

TEST(SpillArray, HoldsWhatWasPutInWhereverItLies) {
    const TempFolder folder;
    SpillArray<std::uint64_t> in_memory;
    SpillArray<std::uint64_t> in_file(folder.path());
    for (std::uint64_t i = 0; i < kMany; ++i) {
        in_memory.push_back(i * i);
        in_file.push_back(i * i);
    }
    EXPECT_EQ(in_file.size(), kMany);
    EXPECT_TRUE(std::equal(in_memory.begin(), in_memory.end(), in_file.begin(), in_file.end()));
    in_file.rest();
    EXPECT_TRUE(std::equal(in_memory.begin(), in_memory.end(), in_file.begin(), in_file.end()));
    in_file[kMany - 1] = 7;
    in_file.rest();
    EXPECT_EQ(in_file.back(), 7U);
}

TEST(SpillArray, LeavesNoFileBehindAndNoneInSight) {
    const TempFolder folder;
    {
        SpillArray<std::uint64_t> array(folder.path());
        array.resize(kMany, 3);
        EXPECT_EQ(std::accumulate(array.begin(), array.end(), std::uint64_t{0}), 3 * kMany);
        EXPECT_TRUE(fs::is_empty(folder.path()));
    }
    EXPECT_TRUE(fs::is_empty(folder.path()));
}

TEST(SpillArray, AtRestItTakesNoMemory) {
    const TempFolder folder;
    SpillArray<std::uint64_t> array(folder.path());
    array.resize(8 * kMany, 1);
    const std::uint64_t bytes = 8 * kMany * sizeof(std::uint64_t);
    array.rest();
    const std::uint64_t at_rest = resident_file_kib();
    const std::uint64_t sum = std::accumulate(array.begin(), array.end(), std::uint64_t{0});
    EXPECT_EQ(sum, 8 * kMany);
    EXPECT_GT(resident_file_kib(), at_rest + bytes / 1024 / 2);
    array.rest();
    EXPECT_LT(resident_file_kib(), at_rest + bytes / 1024 / 8);
}

TEST(SpillArray, GrowsShrinksMovesAndIsFilledAsAVectorIs) {
    const TempFolder folder;
    SpillArray<int> array(folder.path());
    EXPECT_TRUE(array.empty());
    array.resize(3, 5);
    array.push_back(array[0]);
    EXPECT_EQ(array.emplace_back(), 0);
    array.resize(4);
    array.resize(6, 9);
    EXPECT_TRUE(std::ranges::equal(array, std::initializer_list<int>{5, 5, 5, 5, 9, 9}));
    const std::initializer_list<int> more{1, 2};
    array.append(more.begin(), more.end());
    EXPECT_EQ(array.at(7), 2);
    EXPECT_THROW((void)array.at(8), std::out_of_range);
    SpillArray<int> moved = std::move(array);
    EXPECT_EQ(moved.size(), 8U);
    array = SpillArray<int>(folder.path());
    array.push_back(4);
    moved = std::move(array);
    EXPECT_TRUE(std::ranges::equal(moved, std::initializer_list<int>{4}));
}

TEST(SpillArray, AFolderThatIsNotThereIsAnError) {
    SpillArray<std::uint64_t> array("/no/such/folder");
    EXPECT_NO_THROW(array.resize(10));
    EXPECT_THROW(array.resize(kMany), Error);
    EXPECT_EQ(array.size(), 10U);
}

}  // namespace
}  // namespace eaveshed
