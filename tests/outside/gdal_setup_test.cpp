#include "eaveshed/outside/gdal_setup.hpp"

#include <cstdlib>

#include <cpl_conv.h>
#include <cpl_error.h>
#include <gdal_priv.h>
#include <gtest/gtest.h>

#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

TEST(GdalSetup, OnlyTheProgramsDriversStayRegistered) {
    const GdalSession& session = GdalSession::start();
    EXPECT_EQ(&session, &GdalSession::start());
    for (const char* const name :
         {"GTiff", "VRT", "AAIGrid", "HFA", "netCDF", "GPKG", "FlatGeobuf", "GeoJSON", "CSV"}) {
        EXPECT_NE(GetGDALDriverManager()->GetDriverByName(name), nullptr) << name;
    }
    for (const char* const name : {"WMS", "WCS", "WFS", "HTTP", "PLMOSAIC", "SQLite", "STACTA", "PDF"}) {
        EXPECT_EQ(GetGDALDriverManager()->GetDriverByName(name), nullptr) << name;
    }
}

TEST(GdalSetup, AFileOfAnotherFormatIsStillNamed) {
    const testing::TempFolder folder;
    const GdalSession& session = GdalSession::start();
    EXPECT_EQ(session.driver_that_matches(folder.write("a.tif", "<GDAL_WMS></GDAL_WMS>")), "WMS");
    EXPECT_EQ(session.driver_that_matches(folder.write("b.tif", "<VRTDataset></VRTDataset>")), "VRT");
    EXPECT_EQ(session.driver_that_matches(folder.write("c.tif", "nothing known")), "");
    EXPECT_EQ(session.driver_that_matches(folder.file("none")), "");
}

TEST(GdalSetup, NoRequestCanLeave) {
    GdalSession::start();
    EXPECT_STREQ(CPLGetConfigOption("CPL_VSIL_CURL_ALLOWED_FILENAME", ""), "network-is-off");
    EXPECT_EQ(std::getenv("GDAL_VRT_ENABLE_PYTHON"), nullptr);
    EXPECT_EQ(std::getenv("OGR_SQLITE_LOAD_EXTENSIONS"), nullptr);
    EXPECT_EQ(std::getenv("PROJ_NETWORK"), nullptr);
    const GdalErrors errors;
    EXPECT_EQ(GDALDataset::Open("/vsicurl/http://127.0.0.1:9/dem.tif", GDAL_OF_RASTER), nullptr);
}

// In a process of its own, since a session begins once.
TEST(GdalSetupDeathTest, SettingsFromOutsideAreClearedAndNamed) {
    ::testing::FLAGS_gtest_death_test_style = "threadsafe";
    setenv("GDAL_VRT_ENABLE_PYTHON", "YES", 1);
    setenv("GTIFF_IGNORE_READ_ERRORS", "YES", 1);
    setenv("CPL_VSIL_CURL_USE_HEAD", "NO", 1);
    const auto started = [] {
        std::string cleared;
        for (const std::string& name : GdalSession::start().cleared()) {
            cleared += name + " ";
        }
        const bool gone = CPLGetConfigOption("GTIFF_IGNORE_READ_ERRORS", nullptr) == nullptr;
        std::fputs((cleared + (gone ? "gone" : "there")).c_str(), stderr);
        std::exit(0);
    };
    EXPECT_EXIT(started(), ::testing::ExitedWithCode(0),
                "CPL_VSIL_CURL_USE_HEAD.*GDAL_VRT_ENABLE_PYTHON.*GTIFF_IGNORE_READ_ERRORS .*gone");
    unsetenv("GDAL_VRT_ENABLE_PYTHON");
    unsetenv("GTIFF_IGNORE_READ_ERRORS");
    unsetenv("CPL_VSIL_CURL_USE_HEAD");
}

TEST(GdalErrorsTest, GathersFailuresAndWarningsOfItsScope) {
    const GdalErrors outer;
    {
        GdalErrors inner;
        CPLError(CE_Failure, CPLE_AppDefined, "first %d", 1);
        CPLError(CE_Failure, CPLE_AppDefined, "first %d", 1);
        CPLError(CE_Warning, CPLE_AppDefined, "beware");
        CPLDebug("TEST", "nothing");
        EXPECT_EQ(inner.failures(), 2U);
        EXPECT_EQ(inner.warnings(), 1U);
        EXPECT_EQ(inner.text(), "first 1; beware");
        inner.clear();
        EXPECT_EQ(inner.failures(), 0U);
        EXPECT_EQ(inner.text(), "");
    }
    EXPECT_EQ(outer.failures(), 0U);
    CPLError(CE_Failure, CPLE_AppDefined, "again");
    EXPECT_EQ(outer.failures(), 1U);
}

TEST(GdalErrorsTest, AFailureThatNobodyGathersIsToldInSafeWordsAndAWarningIsNot) {
    GdalSession::start();
    ::testing::internal::CaptureStderr();
    CPLError(CE_Failure, CPLE_AppDefined, "a file's own bytes: \033[2J");
    CPLError(CE_Warning, CPLE_AppDefined, "and more");
    const std::string told = ::testing::internal::GetCapturedStderr();
    EXPECT_NE(told.find("a library says: a file's own bytes: "), std::string::npos) << told;
    EXPECT_EQ(told.find('\033'), std::string::npos) << told;
    EXPECT_EQ(told.find("and more"), std::string::npos) << told;
}

// GDAL ends the process where it finds no memory: that has a code of its own, and words.
TEST(GdalErrorsDeathTest, WantOfMemoryIsAPassingTrouble) {
    GTEST_FLAG_SET(death_test_style, "threadsafe");
    GdalSession::start();
    EXPECT_EXIT(CPLError(CE_Fatal, CPLE_OutOfMemory, "no 80004 bytes"), ::testing::ExitedWithCode(75),
                "error: GDAL found no memory: no 80004 bytes");
    EXPECT_EXIT(
        {
            const GdalErrors errors;
            CPLError(CE_Fatal, CPLE_OutOfMemory, "no 80004 bytes");
        },
        ::testing::ExitedWithCode(75), "no memory");
}

TEST(GdalErrorsTest, ClosingAGoodFileSaysNothing) {
    GdalSession::start();
    DatasetHandle memory(GetGDALDriverManager()->GetDriverByName("MEM")->Create("", 1, 1, 1, GDT_Byte, nullptr));
    EXPECT_EQ(close_dataset(memory), "");
    EXPECT_EQ(memory, nullptr);
}

}  // namespace
}  // namespace eaveshed
