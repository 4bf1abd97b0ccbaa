#include "eaveshed/files/bytes.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <limits>

#include "eaveshed/core/outcomes.hpp"
#include "support/expect_error.hpp"

namespace eaveshed {
namespace {

using ::testing::ElementsAre;

TEST(Bytes, AreLittleEndian) {
    ByteWriter out;
    out.put(std::uint32_t{0x01020304});
    out.put(std::string("ab"));
    EXPECT_THAT(out.bytes(), ElementsAre(4, 3, 2, 1, 2, 0, 0, 0, 0, 0, 0, 0, 'a', 'b'));
}

TEST(Bytes, WhatIsPutIsGot) {
    ByteWriter out;
    out.put(-0.0);
    out.put(std::numeric_limits<double>::denorm_min());
    out.put(std::string("\0x", 2));
    out.put(std::string());
    out.put(Fault::passing);
    out.put(std::optional<double>(1.5));
    out.put(std::optional<double>());
    out.put(std::optional<std::string>("t"));
    out.put(std::optional<std::string>());
    out.put(true);
    ByteReader in(out.bytes(), "work file");
    EXPECT_TRUE(std::signbit(in.get<double>()));
    EXPECT_EQ(in.get<double>(), std::numeric_limits<double>::denorm_min());
    EXPECT_EQ(in.get<std::string>(), std::string("\0x", 2));
    EXPECT_EQ(in.get<std::string>(), "");
    EXPECT_EQ(in.get<Fault>(), Fault::passing);
    EXPECT_EQ(in.get<std::optional<double>>(), 1.5);
    EXPECT_EQ(in.get<std::optional<double>>(), std::nullopt);
    EXPECT_EQ(in.get<std::optional<std::string>>(), "t");
    EXPECT_EQ(in.get<std::optional<std::string>>(), std::nullopt);
    EXPECT_TRUE(in.get<bool>());
    EXPECT_EQ(in.left(), 0U);
}

TEST(Bytes, AnOptionalNumberHasOneWidth) {
    ByteWriter with;
    with.put(std::optional<double>(1.0));
    ByteWriter without;
    without.put(std::optional<double>());
    EXPECT_EQ(with.bytes().size(), 9U);
    EXPECT_EQ(without.bytes().size(), 9U);
}

TEST(Bytes, AValueThatItsTypeDoesNotHaveIsAWorkingError) {
    const std::vector<unsigned char> two{2, 0, 0, 0, 0, 0, 0, 0, 0};
    const auto refused = [&](auto read) {
        testing::expect_error([&] { read(ByteReader(two, "work file")); }, Fault::working,
                              {"work file", "work folder"});
    };
    refused([](ByteReader in) { (void)in.get<bool>(); });
    refused([](ByteReader in) { (void)in.get<std::optional<double>>(); });
    refused([](ByteReader in) { (void)in.get<std::optional<std::string>>(); });
    refused([](ByteReader in) { (void)in.get<PadLevel>(); });  // of two
    EXPECT_EQ(ByteReader(two, "work file").get<GravityCheck>(), GravityCheck::cannot_tell);
}

TEST(Bytes, ReadingPastTheEndIsAWorkingError) {
    ByteWriter out;
    out.put(std::uint16_t{7});
    testing::expect_error(
        [&] {
            ByteReader in(out.bytes(), "tile 7");
            static_cast<void>(in.get<double>());
        },
        Fault::working, {"tile 7", "too early"});
}

TEST(Bytes, ATextLongerThanTheFileIsNotBelieved) {
    ByteWriter out;
    out.put(std::numeric_limits<std::uint64_t>::max());
    out.put('x');
    testing::expect_error(
        [&] {
            ByteReader in(out.bytes(), "tile 7");
            static_cast<void>(in.get<std::string>());
        },
        Fault::working, {"tile 7", "too early"});
}

}  // namespace
}  // namespace eaveshed
