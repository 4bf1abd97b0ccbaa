#include "eaveshed/files/checked_file.hpp"

#include <gtest/gtest.h>

#include <filesystem>
#include <numeric>
#include <string>
#include <vector>

#include "eaveshed/files/bytes.hpp"
#include "support/expect_error.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using testing::TempFolder;

std::vector<unsigned char> some_bytes() {
    std::vector<unsigned char> bytes(3'000'000);
    std::iota(bytes.begin(), bytes.end(), static_cast<unsigned char>(0));
    return bytes;
}

TEST(CheckedFile, PieceByPieceOrAtOnceItIsTheSameFile) {
    const TempFolder folder;
    const std::vector<unsigned char> bytes = some_bytes();
    const std::span<const unsigned char> all(bytes);
    write_checked(folder.file("at_once"), all);
    CheckedWriter pieces(folder.file("in_pieces"));
    pieces.write(all.first(5));
    pieces.write(all.subspan(5));
    pieces.finish();
    EXPECT_EQ(read_checked(folder.file("at_once")), bytes);
    EXPECT_EQ(read_checked(folder.file("in_pieces")), bytes);
}

TEST(CheckedFile, WhatWasCutChangedOrNeverFinishedIsRefused) {
    const TempFolder folder;
    write_checked(folder.file("plan"), some_bytes());
    const auto refused = [&] {
        testing::expect_error([&] { CheckedReader(folder.file("plan")); }, Fault::working, {"plan", "checksum"});
    };
    std::filesystem::resize_file(folder.file("plan"), 1'000'000);
    refused();
    folder.write("plan", "short");
    refused();
    CheckedWriter unfinished(folder.file("plan"));
    unfinished.write(some_bytes());
    refused();
}

TEST(CheckedFile, AReaderFetchesWhatItNeeds) {
    const TempFolder folder;
    ByteWriter out;
    const std::string text(2'500'000, 'x');  // longer than what is fetched at once
    out.put(std::uint32_t{7});
    out.put(text);
    out.put(std::optional<double>(2.5));
    write_checked(folder.file("plan"), out.bytes());
    const CheckedReader file(folder.file("plan"));
    std::uint64_t most = 0;
    ByteReader in(
        file.size(),
        [&](std::uint64_t offset, std::span<unsigned char> bytes) {
            file.read_at(offset, bytes);
            most = std::max<std::uint64_t>(most, bytes.size());
        },
        "plan");
    EXPECT_EQ(in.left(), file.size());
    EXPECT_EQ(in.get<std::uint32_t>(), 7U);
    EXPECT_EQ(in.get<std::string>(), text);
    std::optional<double> number;
    in.get(number);
    EXPECT_EQ(number, 2.5);
    EXPECT_EQ(in.left(), 0U);
    EXPECT_LE(most, 2'500'000U);
    testing::expect_error([&] { (void)in.get<std::uint8_t>(); }, Fault::working, {"ends too early"});
}

}  // namespace
}  // namespace eaveshed
