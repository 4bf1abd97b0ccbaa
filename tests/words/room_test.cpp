#include "eaveshed/words/room.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace eaveshed {
namespace {

TEST(Room, BytesAreSaidInTheUnitThatFits) {
    EXPECT_EQ(bytes_text(0), "0 bytes");
    EXPECT_EQ(bytes_text(1023), "1023 bytes");
    EXPECT_EQ(bytes_text(1536), "1.5 KiB");
    EXPECT_EQ(bytes_text(1024 * 1024), "1.0 MiB");
    EXPECT_EQ(bytes_text(1024 * 1024 - 1), "1.0 MiB");
    EXPECT_EQ(bytes_text(std::uint64_t{5} << 30U), "5.0 GiB");
}

TEST(Room, IsThatOfTheNearestFolderWhereThePathIsNotThere) {
    EXPECT_GT(free_bytes("/").value_or(0) + free_bytes("/no/such/folder").value_or(0), 0U);
    EXPECT_THAT(room_text("/no/such/folder/file", 2048), ::testing::MatchesRegex("needs 2.0 KiB, .* free"));
    EXPECT_THAT(room_text("."), ::testing::EndsWith(" free"));
}

}  // namespace
}  // namespace eaveshed
