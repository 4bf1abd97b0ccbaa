#include "eaveshed/outside/remote_names.hpp"

#include <gtest/gtest.h>

#include <memory>
#include <string>

#include <cpl_vsi.h>

#include "eaveshed/network/address.hpp"
#include "eaveshed/network/remote_file.hpp"
#include "eaveshed/outside/gdal_setup.hpp"
#include "support/expect_error.hpp"
#include "support/range_server.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using testing::Asked;
using testing::HowToAnswer;
using testing::RangeServer;

class RemoteNames : public ::testing::Test {
protected:
    RemoteNames() {
        GdalSession::start();
        forget_network();
        allow_host("127.0.0.1");
        m_folder.write("one.tif", std::string(40'000, 'a') + "the end");
    }
    ~RemoteNames() override { forget_network(); }

    testing::TempFolder m_folder;
};

TEST_F(RemoteNames, APathOfThisMachineStaysWhatItIs) {
    EXPECT_EQ(gdal_name("/data/dem.tif"), "/data/dem.tif");
    EXPECT_EQ(gdal_name("dem.tif"), "dem.tif");
    EXPECT_NE(gdal_name("https://h.example/dem.tif"), "https://h.example/dem.tif");
}

TEST_F(RemoteNames, GdalReadsWhatWasOpenedAndAsksForNothingElse) {
    RangeServer server(m_folder.path());
    const std::string url = server.url("one.tif");
    VSIStatBufL status{};
    EXPECT_NE(VSIStatL(gdal_name(url).c_str(), &status), 0);
    EXPECT_EQ(VSIFOpenL(gdal_name(url).c_str(), "rb"), nullptr);
    EXPECT_TRUE(server.asked().empty());
    EXPECT_EQ(remote_file("t", url)->facts().size, 40'007U);
    ASSERT_EQ(VSIStatL(gdal_name(url).c_str(), &status), 0);
    EXPECT_EQ(status.st_size, 40'007);
    EXPECT_NE(VSIStatL(gdal_name(server.url("one.tif.ovr")).c_str(), &status), 0);
    EXPECT_EQ(VSIFOpenL(gdal_name(url).c_str(), "r+b"), nullptr);
    VSILFILE* const file = VSIFOpenL(gdal_name(url).c_str(), "rb");
    ASSERT_NE(file, nullptr);
    std::string text(20, ' ');
    VSIFSeekL(file, 40'000, SEEK_SET);
    EXPECT_EQ(VSIFReadL(text.data(), 1, text.size(), file), 7U);
    EXPECT_EQ(text.substr(0, 7), "the end");
    EXPECT_EQ(VSIFTellL(file), 40'007U);
    EXPECT_NE(VSIFEofL(file), 0);
    VSIFSeekL(file, 0, SEEK_SET);
    EXPECT_EQ(VSIFReadL(text.data(), 4, 1, file), 1U);
    EXPECT_EQ(text.substr(0, 4), "aaaa");
    VSIFCloseL(file);
    EXPECT_EQ(server.requests_for(".ovr"), 0U);
}

TEST_F(RemoteNames, AReadThatFailsIsKeptForWhoeverAskedGdal) {
    RangeServer server(m_folder.path(),
                       [](const Asked& asked) { return HowToAnswer{.status = asked.number == 0 ? 206 : 404}; });
    (void)remote_file("t", server.url("one.tif"));
    VSILFILE* const file = VSIFOpenL(gdal_name(server.url("one.tif")).c_str(), "rb");
    ASSERT_NE(file, nullptr);
    VSIFSeekL(file, 39'000, SEEK_SET);
    char byte = 0;
    const GdalErrors errors;
    EXPECT_EQ(VSIFReadL(&byte, 1, 1, file), 0U);
    EXPECT_EQ(errors.failures(), 1U);
    VSIFCloseL(file);
    testing::expect_error([] { throw_network_fault(); }, Fault::working, {"no such file on the server (404)"});
}

}  // namespace
}  // namespace eaveshed
