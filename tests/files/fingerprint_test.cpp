#include "eaveshed/files/fingerprint.hpp"

#include <filesystem>
#include <string>
#include <vector>

#include <fcntl.h>
#include <gtest/gtest.h>
#include <sys/stat.h>

#include "eaveshed/core/error.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using testing::TempFolder;

constexpr std::size_t kMiB = 1024 * 1024;

std::string sha256_of(const std::string& text) {
    return sha256_hex(std::vector<unsigned char>(text.begin(), text.end()));
}

// NIST's example values for FIPS 180-4, SHA-256 (from memory; the first two are also in RFC 6234's test driver).
TEST(Fingerprint, DigestsAreThoseOfTheStandardsExamples) {
    EXPECT_EQ(sha256_of("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    EXPECT_EQ(sha256_of("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"),
              "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    EXPECT_EQ(sha256_of(""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

TEST(Fingerprint, OfTheWholeIsTheDigestOfTheContent) {
    const TempFolder folder;
    const std::string path = folder.write("abc.txt", "abc");
    const Fingerprint found = fingerprint("footprints.source", path, "data/abc.txt", Digest::whole);
    EXPECT_EQ(found.sha256, sha256_of("abc"));
    EXPECT_EQ(found.size, 3U);
    EXPECT_EQ(found.path_as_given, "data/abc.txt");
}

TEST(Fingerprint, OfTheEndsBeginsWithTheSizeInEightLittleEndianBytes) {
    const TempFolder folder;
    const std::string path = folder.write("abc.txt", "abc");
    EXPECT_EQ(fingerprint("x", path, path, Digest::ends).sha256,
              sha256_of(std::string("\x03\0\0\0\0\0\0\0", 8) + "abc"));
    const std::string empty = folder.write("empty.txt", "");
    EXPECT_EQ(fingerprint("x", empty, empty, Digest::ends).sha256, sha256_of(std::string(8, '\0')));
}

// The number of bytes around the two places where the rule changes: one part, two parts that touch, a gap between them.
TEST(Fingerprint, OfTheEndsTakesEveryByteOnceUpToTwoMiBAndLeavesOutTheMiddleBeyond) {
    const TempFolder folder;
    for (const std::size_t size : {kMiB - 1, kMiB, kMiB + 1, 2 * kMiB - 1, 2 * kMiB, 2 * kMiB + 1, 3 * kMiB + 7}) {
        std::string content(size, '\0');
        for (std::size_t i = 0; i < size; ++i) {
            content[i] = static_cast<char>((i * 2654435761U) >> 13U & 0xFFU);
        }
        const std::string path = folder.write("big.bin", content);
        std::string fed;
        for (std::size_t rest = size, i = 0; i < 8; ++i, rest >>= 8U) {
            fed += static_cast<char>(rest & 0xFFU);
        }
        fed += size <= 2 * kMiB ? content : content.substr(0, kMiB) + content.substr(size - kMiB);
        EXPECT_EQ(fingerprint("x", path, path, Digest::ends).sha256, sha256_of(fed)) << size;
        EXPECT_EQ(fingerprint("x", path, path, Digest::whole).sha256, sha256_of(content)) << size;
    }
}

TEST(Fingerprint, SeesAChangeOfOneByteAtEitherEndAndOfTheSizeAlone) {
    const TempFolder folder;
    std::string content(4 * kMiB, 'a');
    const std::string path = folder.write("big.bin", content);
    const Fingerprint before = fingerprint("x", path, path, Digest::ends);
    for (const std::size_t at : {std::size_t{0}, kMiB - 1, 3 * kMiB, 4 * kMiB - 1}) {
        content[at] = 'b';
        folder.write("big.bin", content);
        EXPECT_NE(fingerprint("x", path, path, Digest::ends).sha256, before.sha256) << at;
        content[at] = 'a';
    }
    content.insert(2 * kMiB, 1, 'a');
    folder.write("big.bin", content);
    EXPECT_NE(fingerprint("x", path, path, Digest::ends).sha256, before.sha256);
}

TEST(Fingerprint, TellsTheTimeInUtcAlsoBefore1970) {
    const TempFolder folder;
    const std::string path = folder.write("a.txt", "a");
    const auto with_time = [&path](std::time_t seconds) {
        const timespec times[2] = {{seconds, 0}, {seconds, 999999999}};
        EXPECT_EQ(utimensat(AT_FDCWD, path.c_str(), times, 0), 0);
        return fingerprint("x", path, path, Digest::ends).modified_utc;
    };
    EXPECT_EQ(with_time(951782399), "2000-02-28T23:59:59Z");  // the leap day follows
    EXPECT_EQ(with_time(951782400), "2000-02-29T00:00:00Z");
    EXPECT_EQ(with_time(-1), "1969-12-31T23:59:59Z");
}

TEST(Fingerprint, OfAFileThatCannotBeReadIsAWorkingError) {
    const TempFolder folder;
    for (const std::string& path : {folder.file("missing"), folder.path().string()}) {
        try {
            static_cast<void>(fingerprint("terrain.elevation \"a.tif\"", path, path, Digest::ends));
            FAIL() << "no error for " << path;
        } catch (const Error& error) {
            EXPECT_EQ(error.fault(), Fault::working);
            EXPECT_EQ(error.trouble().where, "terrain.elevation \"a.tif\"");
        }
    }
}

TEST(Fingerprint, AFolderStandsForAllItsFiles) {
    const TempFolder folder;
    std::filesystem::create_directories(folder.path() / "store" / "pr");
    folder.write("store/.zgroup", "{}");
    folder.write("store/pr/0.0", "abc");
    const auto of_store = [&] { return fingerprint("rain.source", folder.file("store"), "store", Digest::ends); };
    const Fingerprint before = of_store();
    EXPECT_EQ(before.size, 5U);
    EXPECT_EQ(before.modified_utc.size(), 20U);
    EXPECT_EQ(of_store(), before);
    folder.write("store/pr/0.0", "abd");
    const Fingerprint changed = of_store();
    EXPECT_NE(changed.sha256, before.sha256);
    std::filesystem::rename(folder.path() / "store" / "pr" / "0.0", folder.path() / "store" / "pr" / "0.1");
    EXPECT_NE(of_store().sha256, changed.sha256);
}

}  // namespace
}  // namespace eaveshed
