#include "eaveshed/store/record_store.hpp"

#include <gtest/gtest.h>

#include <string>
#include <thread>

#include "support/expect_error.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using testing::TempFolder;
using Bytes = std::vector<unsigned char>;

Bytes record(std::size_t i) {
    return Bytes(i * 37 % 5000, static_cast<unsigned char>(i));
}

TEST(RecordStore, GivesBackEveryRecordInAnyOrder) {
    const TempFolder folder;
    RecordStore store(folder.path() / "a");
    std::vector<std::uint64_t> offsets;
    for (std::size_t i = 0; i < 2000; ++i) {  // some 5 MB: more than it buffers
        offsets.push_back(store.append(record(i)));
    }
    store.finish();
    for (std::size_t i = 2000; i-- > 0;) {
        EXPECT_EQ(store.read(offsets[i]), record(i));
    }
}

TEST(RecordStore, GoesOnAfterFinish) {
    const TempFolder folder;
    RecordStore store(folder.path() / "a");
    const auto first = store.append(Bytes{1});
    store.finish();
    const auto second = store.append(Bytes{});
    const auto third = store.append(Bytes{3, 3});
    store.finish();
    RecordStore moved = std::move(store);
    EXPECT_EQ(moved.read(first), Bytes{1});
    EXPECT_EQ(moved.read(second), Bytes{});
    EXPECT_EQ(moved.read(third), (Bytes{3, 3}));
}

TEST(RecordStore, IsReadFromSeveralThreads) {
    const TempFolder folder;
    RecordStore store(folder.path() / "a");
    std::vector<std::uint64_t> offsets;
    for (std::size_t i = 0; i < 300; ++i) {
        offsets.push_back(store.append(record(i)));
    }
    store.finish();
    std::vector<int> wrong(3, 0);
    {
        std::vector<std::jthread> threads;
        for (std::size_t t = 0; t < wrong.size(); ++t) {
            threads.emplace_back([&, t] {
                for (std::size_t i = 0; i < offsets.size(); ++i) {
                    wrong[t] += store.read(offsets[i]) == record(i) ? 0 : 1;
                }
            });
        }
    }
    EXPECT_EQ(wrong, std::vector<int>(3, 0));
}

TEST(RecordStore, AnOffsetThatIsNoRecordIsAWorkingError) {
    const TempFolder folder;
    RecordStore store(folder.path() / "a");
    static_cast<void>(store.append(Bytes(20, 0xFF)));
    store.finish();
    testing::expect_error([&] { static_cast<void>(store.read(4)); }, Fault::working, {"damaged"});
    testing::expect_error([&] { static_cast<void>(store.read(1000)); }, Fault::working, {"too early"});
}

TEST(RecordReader, GivesBackEveryRecordInOrderAndOutOfOrder) {
    const TempFolder folder;
    RecordStore store(folder.path() / "a");
    std::vector<std::uint64_t> offsets;
    for (std::size_t i = 0; i < 600; ++i) {
        offsets.push_back(store.append(record(i)));
    }
    offsets.push_back(store.append(Bytes(200'000, 7)));  // longer than what it reads ahead
    offsets.push_back(store.append(Bytes{}));            // the last bytes of the file
    store.finish();
    RecordReader reader(store);
    const auto expect_record = [&](std::size_t i) {
        const auto found = reader.read(offsets[i]);
        EXPECT_EQ(Bytes(found.begin(), found.end()), store.read(offsets[i])) << i;
    };
    for (std::size_t i = 0; i < offsets.size(); ++i) {
        expect_record(i);
    }
    for (const std::size_t i : {601U, 3U, 600U, 2U, 599U, 0U, 1U}) {
        expect_record(i);
    }
    EXPECT_EQ(store.read(offsets[5]), record(5));
    testing::expect_error([&] { static_cast<void>(reader.read(offsets.back() + 1)); }, Fault::working, {"too early"});
}

}  // namespace
}  // namespace eaveshed
