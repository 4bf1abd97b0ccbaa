// The same job in other surroundings gives the same bytes.
#include <sys/stat.h>

#include <chrono>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "eaveshed/outside/environment.hpp"
#include "support/program_process.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using testing::content_of;
using ::testing::HasSubstr;
using ::testing::Not;
using testing::ProgramProcess;
using testing::TempFolder;

namespace fs = std::filesystem;

std::string project() {
    return std::string(EAVESHED_SOURCE_DIR) + "/testdata/demo/basin.toml";
}

void expect_done(const std::string& folder, const std::vector<std::string>& words,
                 const std::vector<std::string>& environment) {
    ProgramProcess process(folder, words, environment);
    EXPECT_EQ(process.code_within(std::chrono::minutes(2)), 0) << process.errors();
}

// The bytes of the demo basin's file, made with this environment.
std::string screened(const std::vector<std::string>& environment, const std::string& log = {}) {
    const TempFolder folder;
    std::vector<std::string> words{"screen", project(), "-o", folder.file("out.gpkg"), "--quiet"};
    if (!log.empty()) {
        words.insert(words.end(), {"--log", log});
    }
    expect_done(folder.path(), words, environment);
    return content_of(folder.file("out.gpkg"));
}

const std::string& plain_bytes() {
    static const std::string bytes = screened({});
    return bytes;
}

TEST(Environment, WhatLibrariesWouldHearChangesNothing) {
    const TempFolder home;
    fs::create_directory(home.file(".gdal"));
    const std::string settings = "[configoptions]\nGDAL_SKIP=GTiff\nOGR_SQLITE_JOURNAL=WAL\n";
    std::ofstream(home.file(".gdal/gdalrc")) << settings;
    const std::string log = home.file("run.log");
    const std::vector<std::string> hostile{
        "HOME=" + std::string(home.path()),
        "GDAL_CONFIG_FILE=" + home.write("other_rc", settings),
        "GDAL_SKIP=GTiff,GPKG",
        "GDAL_DRIVER_PATH=" + std::string(home.path()),
        "GDAL_DATA=/nonexistent",
        "GDAL_CACHEMAX=1",
        "GDAL_NUM_THREADS=ALL_CPUS",
        "GDAL_VRT_ENABLE_PYTHON=YES",
        "GDAL_DISABLE_READDIR_ON_OPEN=YES",
        "GTIFF_IGNORE_READ_ERRORS=YES",
        "OGR_SKIP=GPKG",
        "OGR_SQLITE_JOURNAL=WAL",
        "OGR_SQLITE_PRAGMA=page_size=512",
        "OGR_SQLITE_LOAD_EXTENSIONS=" + home.file("none.so"),
        "OGR_SQLITE_SYNCHRONOUS=OFF",
        "OGR_CURRENT_DATE=1999-01-01T00:00:00Z",
        "OSR_DEFAULT_AXIS_MAPPING_STRATEGY=AUTHORITY_COMPLIANT",
        "PROJ_DATA=/nonexistent",
        "PROJ_LIB=/nonexistent",
        "PROJ_NETWORK=ON",
        "CPL_DEBUG=ON",
        "CPL_LOG=" + home.file("library.log"),
        "CPL_TMPDIR=/nonexistent",
        "SQLITE_TMPDIR=/nonexistent",
        "http_proxy=http://127.0.0.1:9",
        "HTTPS_PROXY=http://127.0.0.1:9",
        "AWS_SECRET_ACCESS_KEY=not-to-be-told",
        "TZ=Asia/Kathmandu",
        "A_VARIABLE_OF_TOMORROW=1",
    };
    EXPECT_TRUE(screened(hostile, log) == plain_bytes());
    EXPECT_FALSE(fs::exists(home.file("library.log")));
    const std::string told = content_of(log);
    for (const char* const name :
         {"GDAL_SKIP", "OGR_SQLITE_JOURNAL", "PROJ_DATA", "PROJ_LIB", "GDAL_DATA", "http_proxy", "TZ"}) {
        EXPECT_THAT(told, HasSubstr("\"" + std::string(name) + "\"")) << "the log does not name it";
    }
    EXPECT_THAT(told, Not(HasSubstr("not-to-be-told")));
}

TEST(Environment, LocalesChangeNothing) {
    for (const char* const locale : {"C", "C.UTF-8", "de_DE.UTF-8", "tr_TR.UTF-8"}) {
        const std::string name(locale);
        EXPECT_TRUE(screened({"LC_ALL=" + name, "LANG=" + name}) == plain_bytes()) << name;
    }
}

// The mask that this process hands down to the program.
class Umask {
public:
    explicit Umask(mode_t mask) : m_before(::umask(mask)) {}
    ~Umask() { ::umask(m_before); }
    Umask(const Umask&) = delete;
    Umask& operator=(const Umask&) = delete;

private:
    mode_t m_before;
};

TEST(Environment, AMaskOfPermissionsChangesNoBytesAndNeverLetsOthersWriteOrReadContacts) {
    for (const mode_t mask : {0000U, 0077U}) {
        const TempFolder folder;
        const std::string result = folder.file("out.gpkg");
        const std::string list = folder.file("calls.csv");
        {
            const Umask set(mask);
            expect_done(folder.path(), {"screen", project(), "-o", result, "--quiet"}, {});
            expect_done(folder.path(), {"rank", result, "--project", project(), "--csv", list, "--draws", "0"}, {});
        }
        EXPECT_TRUE(content_of(result) == plain_bytes());
        EXPECT_EQ(fs::status(result).permissions() & (fs::perms::group_write | fs::perms::others_write),
                  fs::perms::none)
            << mask;
        EXPECT_EQ(fs::status(list).permissions(), fs::perms::owner_read | fs::perms::owner_write) << mask;
    }
}

TEST(Environment, WhatStaysSaysWhy) {
    EXPECT_FALSE(kept_variables().empty());
    for (const KeptVariable& kept : kept_variables()) {
        EXPECT_FALSE(kept.why.empty()) << kept.name;
    }
}

}  // namespace
}  // namespace eaveshed
