#include "eaveshed/files/spill_memory.hpp"

#include <gtest/gtest.h>

#include <cstdint>
#include <filesystem>
#include <fstream>
#include <numeric>
#include <string>
#include <vector>

#include "support/expect_error.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using testing::TempFolder;
namespace fs = std::filesystem;

constexpr std::size_t kManyNumbers = 3 * SpillBytes::kInMemoryBytes / sizeof(std::uint64_t);

TEST(SpillMemory, HoldsWhatIsPutInWhereverItLies) {
    const TempFolder folder;
    SpillMemory in_files(folder.path());
    SpillMemory in_memory{fs::path()};
    for (SpillMemory* const memory : {&in_files, &in_memory}) {
        std::pmr::vector<std::uint64_t> small(100, 7, memory);
        std::pmr::vector<std::uint64_t> grown(memory);
        for (std::uint64_t i = 0; i < kManyNumbers; ++i) {
            grown.push_back(i);
        }
        std::pmr::vector<std::uint64_t> moved = std::move(grown);
        EXPECT_EQ(moved.get_allocator().resource(), memory);
        EXPECT_EQ(std::accumulate(moved.begin(), moved.end(), std::uint64_t{0}), kManyNumbers * (kManyNumbers - 1) / 2);
        EXPECT_EQ(std::accumulate(small.begin(), small.end(), std::uint64_t{0}), 700U);
    }
    EXPECT_TRUE(fs::is_empty(folder.path()));
}

// How many files of the folder stand in this process's memory.
int mapped_files_of(const fs::path& folder) {
    std::ifstream maps("/proc/self/maps");
    int count = 0;
    for (std::string line; std::getline(maps, line);) {
        count += line.find(folder.string() + "/") != std::string::npos ? 1 : 0;
    }
    return count;
}

TEST(SpillMemory, WhatIsLargeIsOfAFileUntilItIsGivenBack) {
    const TempFolder folder;
    SpillMemory memory(folder.path());
    {
        const std::pmr::vector<std::uint64_t> small(100, 1, &memory);
        EXPECT_EQ(mapped_files_of(folder.path()), 0);
        const std::pmr::vector<std::uint64_t> large(kManyNumbers, 1, &memory);
        EXPECT_EQ(mapped_files_of(folder.path()), 1);
    }
    EXPECT_EQ(mapped_files_of(folder.path()), 0);
}

TEST(SpillMemory, AFolderThatIsNotThereIsAnError) {
    SpillMemory memory("/no/such/folder");
    EXPECT_NO_THROW(std::pmr::vector<std::uint64_t>(10, 1, &memory));
    EXPECT_THROW(std::pmr::vector<std::uint64_t>(kManyNumbers, 1, &memory), Error);
}

}  // namespace
}  // namespace eaveshed
