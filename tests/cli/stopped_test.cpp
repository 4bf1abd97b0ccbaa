// Every command, stopped by a signal that is sent when it is within a step that by itself would not end soon: it ends
// within five seconds, says so by its exit code, and leaves nothing under an output's name.
#include <sqlite3.h>

#include <chrono>
#include <csignal>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/edit_file.hpp"
#include "support/program_process.hpp"
#include "support/raw_database.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using ::testing::HasSubstr;
using testing::ProgramProcess;
using testing::RawDatabase;
using testing::TempFolder;

namespace fs = std::filesystem;
using std::chrono::seconds;

constexpr std::chrono::milliseconds kSoon{5000};
constexpr double kBusy = 0.6;  // seconds of work: more than any command needs to come to its endless step

// The demo basin, whose buildings and parcels are read through views: a file that says what reading it means.
class StoppedCommand : public ::testing::Test {
protected:
    static void SetUpTestSuite() {
        s_folder = new TempFolder;
        for (const auto& entry : fs::directory_iterator(std::string(EAVESHED_SOURCE_DIR) + "/testdata/demo")) {
            fs::copy_file(entry.path(), s_folder->file(entry.path().filename().string()));
        }
        fs::permissions(s_folder->file("buildings.gpkg"), fs::perms::owner_write, fs::perm_options::add);
        fs::permissions(s_folder->file("parcels.gpkg"), fs::perms::owner_write, fs::perm_options::add);
        std::string project = testing::content_of(s_folder->file("basin.toml"));
        replace(project, "layer = \"buildings\"", "layer = \"buildings_view\"");
        replace(project, "layer = \"parcels\"", "layer = \"parcels_view\"");
        std::ofstream(s_folder->file("basin.toml")) << project;
        make_view("buildings", false);
        make_view("parcels", false);
        run({"screen", file("basin.toml"), "-o", file("out.gpkg"), "--quiet"});
        run({"split", file("basin.toml"), "--parts", "2", "-o", file("plan"), "--quiet"});
        run({"split", file("basin.toml"), "--parts", "2", "-o", file("open_plan"), "--quiet"});
        for (const char* const part : {"1", "2"}) {
            run({"screen", "--part", file("plan"), part, "--quiet"});
        }
    }
    static void TearDownTestSuite() {
        delete s_folder;
        s_folder = nullptr;
    }

    static std::string file(const std::string& name) { return s_folder->file(name); }

    static void run(const std::vector<std::string>& words) {
        ProgramProcess process(s_folder->path(), words);
        ASSERT_EQ(process.code_within(seconds(120)), 0) << words.front() << ": " << process.errors();
    }

    // Two views that read as the tables do, or never give a row.
    static void make_views(bool endless) {
        make_view("buildings", endless);
        make_view("parcels", endless);
    }

    // Stops the command, once it is busy, by both signals.
    static void expect_stopped(const std::vector<std::string>& words, const std::string& says) {
        for (const int number : {SIGINT, SIGTERM}) {
            ProgramProcess process(s_folder->path(), words);
            ASSERT_TRUE(process.worked_for(kBusy)) << words.front() << " was over: " << process.errors();
            process.signal(number);
            const auto begin = std::chrono::steady_clock::now();
            EXPECT_EQ(process.code_within(kSoon), 128 + number) << words.front() << ": " << process.errors();
            const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begin;
            RecordProperty(words.front() + "_" + std::to_string(number), std::to_string(took.count()));
            EXPECT_THAT(process.errors(), HasSubstr("stopped")) << words.front();
            EXPECT_THAT(process.errors(), HasSubstr(says)) << words.front();
        }
        for (const char* const output : {"new.gpkg", "new.csv", "new", "new_plan/plan.json", "new.toml"}) {
            EXPECT_FALSE(fs::exists(file(output))) << words.front() << " left " << output;
        }
    }

    static inline TempFolder* s_folder = nullptr;

private:
    static void replace(std::string& text, const std::string& from, const std::string& to) {
        ASSERT_NE(text.find(from), std::string::npos) << from;
        text.replace(text.find(from), from.size(), to);
    }

    static void make_view(const std::string& table, bool endless) {
        const std::string view = table + "_view";
        const std::string rows =
            endless ? "WITH RECURSIVE r(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM r) SELECT t.* FROM r JOIN " +
                          table + " t WHERE r.n < 0"
                    : "SELECT * FROM " + table;
        testing::edit_file(
            file(table + ".gpkg"),
            {"DROP VIEW IF EXISTS " + view, "CREATE VIEW " + view + " AS " + rows,
             "INSERT OR REPLACE INTO gpkg_contents SELECT '" + view + "', data_type, '" + view +
                 "', description, last_change, min_x, min_y, max_x, max_y, srs_id FROM "
                 "gpkg_contents WHERE table_name = '" +
                 table + "'",
             "INSERT OR REPLACE INTO gpkg_geometry_columns SELECT '" + view +
                 "', column_name, geometry_type_name, srs_id, z, m FROM gpkg_geometry_columns WHERE table_name = '" +
                 table + "'"});
    }
};

TEST_F(StoppedCommand, EndsWhileAViewOfAnInputGivesNoRow) {
    make_views(true);
    const std::string parcel =
        testing::OutputFile(file("out.gpkg")).text("SELECT parcel_id FROM parcels WHERE rank = 1");
    const std::string again = "nothing was written: run the same command again";
    expect_stopped({"check", file("basin.toml")}, again);
    expect_stopped({"screen", file("basin.toml"), "-o", file("new.gpkg")}, "new.gpkg --resume");
    expect_stopped({"split", file("basin.toml"), "--parts", "2", "-o", file("new_plan")}, again);
    expect_stopped({"screen", "--part", file("open_plan"), "1"}, again);
    expect_stopped({"gather", file("plan"), "-o", file("new.gpkg")}, again);
    expect_stopped({"explain", file("out.gpkg"), "--roof", "B00001", "--project", file("basin.toml")}, again);
    expect_stopped({"report", file("out.gpkg"), "-o", file("new"), "--parcel", parcel, "--project", file("basin.toml")},
                   again);
    expect_stopped({"rank", file("out.gpkg"), "--csv", file("new.csv"), "--project", file("basin.toml")}, again);
    expect_stopped(
        {"enrol", file("out.gpkg"), "--budget", "100000", "--csv", file("new.csv"), "--project", file("basin.toml")},
        again);
    make_views(false);
}

TEST_F(StoppedCommand, EndsWhileItDraws) {
    expect_stopped({"rank", file("out.gpkg"), "--draws", "1000000"}, "run the same command again");
}

TEST_F(StoppedCommand, EndsWhileItDraftsFromALargeFile) {
    std::ofstream large(file("large.geojson"));
    large << R"({"type":"FeatureCollection","features":[)";
    for (int i = 0; i < 600'000; ++i) {
        large << (i > 0 ? ",\n" : "") << R"({"type":"Feature","properties":{"a":)" << i
              << R"(},"geometry":{"type":"Point","coordinates":[1,2]}})";
    }
    large << "]}";
    large.close();
    expect_stopped({"check", "--new", file("large.geojson"), "-o", file("new.toml")}, "run the same command again");
}

// What only reads a finished file waits for another program that has it locked.
TEST_F(StoppedCommand, EndsWhileItWaitsForALockedFile) {
    RawDatabase writer(file("out.gpkg"));
    writer.run("BEGIN EXCLUSIVE");
    for (const std::vector<std::string>& words : {std::vector<std::string>{"summary", file("out.gpkg")},
                                                  {"compare", file("out.gpkg"), file("out.gpkg")},
                                                  {"styles", file("out.gpkg"), "-o", file("new")},
                                                  {"rank", file("out.gpkg")}}) {
        ProgramProcess process(s_folder->path(), words);
        EXPECT_EQ(process.code_within(std::chrono::milliseconds(1500)), -1) << words.front() << " does not wait";
        const auto begin = std::chrono::steady_clock::now();
        process.signal(SIGTERM);
        EXPECT_EQ(process.code_within(seconds(2)), 143) << words.front();
        EXPECT_LT(std::chrono::steady_clock::now() - begin, seconds(2));
    }
}

TEST_F(StoppedCommand, ScratchFoldersGoWithIt) {
    make_views(true);
    const TempFolder scratch;
    {
        ProgramProcess process(s_folder->path(),
                               {"explain", file("out.gpkg"), "--roof", "B00001", "--project", file("basin.toml")},
                               {"TMPDIR=" + std::string(scratch.path())});
        ASSERT_TRUE(process.worked_for(kBusy)) << process.errors();
        process.signal(SIGTERM);
        EXPECT_EQ(process.code_within(kSoon), 143);
    }
    EXPECT_TRUE(fs::is_empty(scratch.path()));
    make_views(false);
}

}  // namespace
}  // namespace eaveshed
