#include "eaveshed/network/remote_file.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cstdlib>
#include <future>

#include "eaveshed/network/address.hpp"
#include "support/expect_error.hpp"
#include "support/range_server.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using testing::Asked;
using testing::expect_error;
using testing::expect_input_error;
using testing::HowToAnswer;
using testing::RangeServer;

std::string some_bytes(std::size_t count) {
    std::string bytes(count, '\0');
    std::uint32_t state = 12345;
    for (char& byte : bytes) {
        state = state * 1664525U + 1013904223U;
        byte = static_cast<char>(state >> 24U);
    }
    return bytes;
}

class RemoteFiles : public ::testing::Test {
protected:
    RemoteFiles() {
        forget_network();
        allow_host("127.0.0.1");
        m_content = some_bytes(300'000);
        m_folder.write("one.tif", m_content);
        m_folder.write("one.fgb", m_content);
    }
    ~RemoteFiles() override { forget_network(); }

    static std::string read(RemoteFile& file, std::uint64_t offset, std::size_t count) {
        std::vector<unsigned char> bytes(count);
        bytes.resize(file.read_at(offset, bytes));
        return {bytes.begin(), bytes.end()};
    }

    testing::TempFolder m_folder;
    std::string m_content;
};

TEST_F(RemoteFiles, AnyRangeIsThatOfTheFile) {
    RangeServer server(m_folder.path());
    for (const char* const name : {"one.tif", "one.fgb"}) {
        RemoteFile file("t", server.url(name));
        EXPECT_EQ(file.facts().size, m_content.size());
        EXPECT_TRUE(file.facts().modified.has_value());
        for (const auto& [offset, count] : {std::pair<std::uint64_t, std::size_t>{0, 4},
                                            {16380, 10},
                                            {100'000, 70'000},
                                            {250'001, 9},
                                            {299'990, 10},
                                            {0, 300'000},
                                            {299'999, 100},
                                            {300'000, 5}}) {
            EXPECT_TRUE(read(file, offset, count) == m_content.substr(offset, count)) << name << offset;
        }
    }
}

TEST_F(RemoteFiles, OnlyWhatIsAskedForTravelsAndOnce) {
    RangeServer server(m_folder.path());
    RemoteFile file("t", server.url("one.tif"));
    EXPECT_EQ(server.bytes_of("one.tif"), 16384U);
    read(file, 8, 200);
    EXPECT_EQ(server.requests_for("one.tif"), 1U);  // it came with the first
    read(file, 200'001, 12);
    read(file, 200'100, 12);
    EXPECT_EQ(server.bytes_of("one.tif"), 2 * 16384U);
    read(file, 100'001, 70'000);
    EXPECT_EQ(server.bytes_of("one.tif"), 2 * 16384U + 70'000U);
    EXPECT_EQ(network_use().bytes, 2 * 16384U + 70'000U);
    EXPECT_EQ(network_use().requests, 3U);
}

TEST_F(RemoteFiles, FeaturesInARowAreReadAhead) {
    m_folder.write("long.fgb", some_bytes(4'000'000));
    RangeServer server(m_folder.path());
    RemoteFile file("t", server.url("long.fgb"));
    for (std::uint64_t at = 0; at < 4'000'000; at += 500) {
        read(file, at, 500);
    }
    EXPECT_LT(server.requests_for("long.fgb"), 15U);
    EXPECT_EQ(server.bytes_of("long.fgb"), 4'000'000U);
}

TEST_F(RemoteFiles, ManyReadersSeeTheSameBytes) {
    RangeServer server(m_folder.path());
    RemoteFile file("t", server.url("one.tif"));
    std::vector<std::future<bool>> readers;
    for (int reader = 0; reader < 4; ++reader) {
        readers.push_back(std::async(std::launch::async, [&, reader] {
            for (std::uint64_t at = static_cast<std::uint64_t>(reader) * 77; at < 290'000; at += 40'001) {
                if (read(file, at, 9'000) != m_content.substr(at, 9'000)) {
                    return false;
                }
            }
            return true;
        }));
    }
    for (auto& reader : readers) {
        EXPECT_TRUE(reader.get());
    }
}

TEST_F(RemoteFiles, WhatIsNotThereMovedOrHandedOutWholeIsAnInputErrorAndAskedForOnce) {
    HowToAnswer how;
    RangeServer server(m_folder.path(), [&](const Asked&) { return how; });
    const auto expect_told = [&](const std::vector<std::string>& parts) {
        server.forget();
        expect_input_error([&] { RemoteFile("t", server.url("one.tif")); }, parts);
        EXPECT_EQ(server.asked().size(), 1U);
    };
    how = {.status = 404};
    expect_told({"no such file on the server (404)"});
    how = {.status = 403};
    expect_told({"does not hand out (403)", "--project"});
    how = {.status = 302, .location = "https://elsewhere.example/one.tif?sig=secret"};
    expect_told({"sends on to https://elsewhere.example/one.tif (302)", "allow its host"});
    how = {.whole = true};
    expect_told({"whole file only (200)"});
    how = {.status = 418};
    expect_told({"HTTP status 418"});
}

TEST_F(RemoteFiles, ATroubleThatPassesIsOutlived) {
    RangeServer server(m_folder.path(), [](const Asked& asked) {
        return asked.number == 0   ? HowToAnswer{.status = 500}
               : asked.number == 1 ? HowToAnswer{.cut = true}
               : asked.number == 3 ? HowToAnswer{.status = 503}
                                   : HowToAnswer{};
    });
    RemoteFile file("t", server.url("one.tif"));
    EXPECT_TRUE(read(file, 100'000, 100'000) == m_content.substr(100'000, 100'000));
    EXPECT_EQ(server.requests_for("one.tif"), 5U);
}

TEST_F(RemoteFiles, ATroubleThatStaysIsPassingAfterABoundedNumberOfTries) {
    RangeServer server(m_folder.path(), [](const Asked& asked) {
        return asked.number == 0 ? HowToAnswer{} : HowToAnswer{.status = 500};
    });
    RemoteFile file("terrain", server.url("one.tif"));
    expect_error([&] { read(file, 100'000, 100'000); }, Fault::passing, {"terrain", "HTTP status 500"});
    EXPECT_EQ(server.requests_for("one.tif"), 6U);
    expect_error([&] { read(file, 0, 10); }, Fault::passing, {"HTTP status 500"});  // and nobody asks again
    EXPECT_EQ(server.requests_for("one.tif"), 6U);
}

TEST_F(RemoteFiles, ACutConnectionAndNoServerArePassing) {
    RangeServer server(m_folder.path(), [](const Asked& asked) { return HowToAnswer{.cut = asked.number > 0}; });
    RemoteFile file("t", server.url("one.tif"));
    const std::string url = server.url("one.fgb");
    expect_error([&] { read(file, 100'000, 100'000); }, Fault::passing, {"t: found a request that failed"});
    server.stop();
    expect_error([&] { RemoteFile("t", url); }, Fault::passing, {"a request that failed"});
}

TEST_F(RemoteFiles, AFileThatChangesWhileItIsReadIsAWorkingError) {
    RangeServer server(m_folder.path(),
                       [](const Asked& asked) { return HowToAnswer{.changed_tag = asked.number > 1 ? "new" : ""}; });
    RemoteFile file("t", server.url("one.tif"));
    EXPECT_NO_THROW(read(file, 100'000, 100'000));
    expect_error([&] { read(file, 200'000, 100'000); }, Fault::working, {"changed on its server"});
}

TEST_F(RemoteFiles, AskedAgainItTellsWhatItIsNow) {
    RangeServer server(m_folder.path());
    RemoteFile file("t", server.url("one.tif"));
    EXPECT_EQ(file.ask(), file.facts());
    m_folder.write("one.tif", "short");
    EXPECT_EQ(file.ask().size, 5U);
}

TEST_F(RemoteFiles, NobodyIsAskedWhoWasNotAllowed) {
    RangeServer server(m_folder.path());
    forget_network();
    expect_input_error([&] { RemoteFile("t", server.url("one.tif")); }, {"--allow-network 127.0.0.1"});
    allow_host("data.example.org");
    expect_input_error([&] { RemoteFile("t", server.url("one.tif")); }, {"not named"});
    EXPECT_TRUE(server.asked().empty());
}

TEST_F(RemoteFiles, NoProxyOfTheEnvironmentIsAsked) {
    RangeServer proxy(m_folder.path());
    RangeServer server(m_folder.path());
    ::setenv("http_proxy", proxy.url("").c_str(), 1);
    EXPECT_NO_THROW(RemoteFile("t", server.url("one.tif")));
    ::unsetenv("http_proxy");
    EXPECT_TRUE(proxy.asked().empty());
}

TEST_F(RemoteFiles, SignaturesAndUsersTravelAndAreNotTold) {
    RangeServer server(m_folder.path(), [](const Asked& asked) {
        const bool known = asked.target.ends_with("?sig=secret") &&
                           asked.header.find("Authorization: Basic bWU6d29yZA==") != std::string::npos;  // me:word
        return HowToAnswer{.status = known ? 206 : 403};
    });
    std::string full = server.url("one.tif?sig=secret");
    full.insert(full.find("127"), "me:word@");
    const std::string shown = keep_address("t", full);
    EXPECT_EQ(shown, server.url("one.tif"));
    EXPECT_EQ(remote_file("t", shown)->facts().size, m_content.size());
}

TEST_F(RemoteFiles, WhatIsPerhapsThereIsAskedForOnce) {
    RangeServer server(m_folder.path());
    EXPECT_EQ(remote_file_if_there("t", server.url("one.tif.msk")), nullptr);
    EXPECT_EQ(remote_file_if_there("t", server.url("one.tif.msk")), nullptr);
    EXPECT_NE(remote_file_if_there("t", server.url("one.fgb")), nullptr);
    EXPECT_EQ(server.requests_for(".msk"), 1U);
    EXPECT_EQ(opened_remote_file(server.url("one.tif")), nullptr);
    EXPECT_NE(opened_remote_file(server.url("one.fgb")), nullptr);
}

TEST_F(RemoteFiles, AnErrorThatALibraryHeldBackIsThrownAfterwards) {
    EXPECT_NO_THROW(throw_network_fault());
    keep_network_fault(input_error("t", "the first", "", "mend it"));
    keep_network_fault(input_error("t", "the second", "", "mend it"));
    expect_input_error([] { throw_network_fault(); }, {"the first"});
    forget_network();
    EXPECT_NO_THROW(throw_network_fault());
}

}  // namespace
}  // namespace eaveshed
