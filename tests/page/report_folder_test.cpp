// A report's folder stands whole or not at all, and nobody else's files are ever replaced.
#include "eaveshed/page/report_folder.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/stat.h>

#include "support/expect_error.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

namespace fs = std::filesystem;
using testing::expect_input_error;
using testing::TempFolder;

std::string content_of(const fs::path& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

void write_report_at(const std::string& place, const std::string& words, bool overwrite = false) {
    ReportFolder folder(place, overwrite);
    folder.write("index.html", std::string(kReportMark) + words);
    folder.write("letters/a.txt", words, true);
    folder.publish();
}

std::size_t entries(const fs::path& folder) {
    return static_cast<std::size_t>(std::distance(fs::directory_iterator(folder), {}));
}

TEST(ReportFolder, StandsInItsPlaceOnlyWhenPublished) {
    const TempFolder around;
    {
        ReportFolder folder(around.file("report"), false);
        folder.write("index.html", kReportMark);
        EXPECT_FALSE(fs::exists(around.file("report")));
    }
    EXPECT_EQ(entries(around.path()), 0U);  // nothing half-written is left either
    write_report_at(around.file("report/"), "one");
    EXPECT_THAT(content_of(around.file("report/index.html")), ::testing::EndsWith("one"));
    EXPECT_EQ(entries(around.path()), 1U);
}

TEST(ReportFolder, LettersAreTheirOwnersAlone) {
    const TempFolder around;
    write_report_at(around.file("report"), "one");
    struct stat status {};
    ASSERT_EQ(::stat(around.file("report/letters/a.txt").c_str(), &status), 0);
    EXPECT_EQ(status.st_mode & 0777U, 0600U);
    ASSERT_EQ(::stat(around.file("report/letters").c_str(), &status), 0);
    EXPECT_EQ(status.st_mode & 0777U, 0700U);
    ASSERT_EQ(::stat(around.file("report").c_str(), &status), 0);
    EXPECT_EQ(status.st_mode & 0777U, 0755U);
}

TEST(ReportFolder, OneThatExistsIsReplacedOnlyWhenAsked) {
    const TempFolder around;
    write_report_at(around.file("report"), "one");
    expect_input_error([&] { write_report_at(around.file("report"), "two"); }, {"exists", "--overwrite"});
    EXPECT_THAT(content_of(around.file("report/index.html")), ::testing::EndsWith("one"));
    write_report_at(around.file("report"), "two", true);
    EXPECT_THAT(content_of(around.file("report/index.html")), ::testing::EndsWith("two"));
    EXPECT_EQ(entries(around.path()), 1U);
}

TEST(ReportFolder, FilesOfOthersAreNeverReplaced) {
    const TempFolder around;
    const auto refused = [&](const std::string& name) {
        expect_input_error([&] { write_report_at(around.file(name), "x", true); }, {name});
    };
    fs::create_directory(around.path() / "photos");
    around.write("photos/1.jpg", "x");
    refused("photos");
    write_report_at(around.file("mixed"), "one");
    around.write("mixed/notes.txt", "mine");
    refused("mixed");
    write_report_at(around.file("deep"), "one");
    around.write("deep/letters/scan.pdf", "mine");
    refused("deep");
    fs::create_directory(around.path() / "site");
    around.write("site/index.html", "<!DOCTYPE html>\n<html>my own</html>");
    refused("site");
    around.write("file", "x");
    refused("file");
    fs::create_directory_symlink(around.path() / "photos", around.path() / "link");
    refused("link");
    EXPECT_EQ(content_of(around.file("mixed/notes.txt")), "mine");
    fs::create_directory(around.path() / "empty");
    write_report_at(around.file("empty"), "one", true);
}

TEST(ReportFolder, NeedsAFolderToStandIn) {
    const TempFolder around;
    expect_input_error([&] { write_report_at(around.file("no/report"), "x"); }, {"no folder"});
    expect_input_error([&] { write_report_at(".", "x", true); }, {"of the report's own"});
    expect_input_error([&] { write_report_at("/", "x", true); }, {"of the report's own"});
}

TEST(FileNameOf, NeverLeavesItsFolder) {
    EXPECT_EQ(file_name_of("01W-0078"), "01W-0078");
    EXPECT_EQ(file_name_of("../../etc/passwd"), "_.._.._etc_passwd");
    EXPECT_EQ(file_name_of("a b/c\\d:e\n"), "a_b_c_d_e_");
    EXPECT_EQ(file_name_of(""), "_");
    EXPECT_EQ(file_name_of("."), "_.");
    EXPECT_EQ(file_name_of("Zoë"), "Zo__");
    for (const std::string name : {"CON", "aux", "Nul.2", "prn", "com1", "LPT9.html"}) {  // devices on Windows
        EXPECT_EQ(file_name_of(name), "_" + name);
    }
    for (const std::string name : {"CONE", "com", "com0", "lpt10", "x.con", "auxiliary"}) {
        EXPECT_EQ(file_name_of(name), name);
    }
    EXPECT_EQ(file_name_of(std::string(300, 'x')).size(), 80U);
}

}  // namespace
}  // namespace eaveshed
