// Texts that would drive a terminal, planted wherever a user's files hold texts, and every command: nothing of them
// comes out, on the screen, in the log or in a file that is read as text.
#include <array>
#include <cstddef>
#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/edit_file.hpp"
#include "support/file_content.hpp"
#include "support/program_said.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using testing::content_of;
using testing::program_said;
using testing::ProgramSaid;
using testing::TempFolder;

namespace fs = std::filesystem;

// A title for the window, clear the screen, delete, CSI as C1, right-to-left override, isolate, back, return.
const std::string kHostile = "\x1b]0;x\x07\x1b[2J\x7f\xC2\x9B\xE2\x80\xAE\xE2\x81\xA7\b\rx";
// The same as TOML writes it; and what of it a project's values may hold, which stand on one line.
const std::string kInToml = R"(\u001b]0;x\u0007\u001b[2J\u007f\u009b\u202e\u2067\b\rx)";
const std::string kMarks = "\xC2\x9B\xE2\x80\xAE\xE2\x81\xA7x";
const std::string kMarksInToml = R"(\u009b\u202e\u2067x)";

// Where the first byte of a control character or a mark of direction stands; npos when there is none.
std::size_t hostile_at(std::string_view text) {
    for (std::size_t i = 0; i < text.size(); ++i) {
        const auto byte = static_cast<unsigned char>(text[i]);
        const std::string_view rest = text.substr(i);
        const bool line = byte == '\n' || byte == '\t' || rest.starts_with("\r\n");
        const bool control = (byte < 0x20 && !line) || byte == 0x7F;
        const bool c1 = byte == 0xC2 && rest.size() > 1 && static_cast<unsigned char>(rest[1]) < 0xA0;
        const bool direction =
            (rest.starts_with("\xE2\x80") && rest.size() > 2 && rest[2] >= '\xAA' && rest[2] <= '\xAE') ||
            (rest.starts_with("\xE2\x81") && rest.size() > 2 && rest[2] >= '\xA6' && rest[2] <= '\xA9');
        if (control || c1 || direction) {
            return i;
        }
    }
    return std::string_view::npos;
}

void expect_clean(const std::string& what, std::string_view text) {
    const std::size_t at = hostile_at(text);
    EXPECT_EQ(at, std::string_view::npos)
        << what << ", after: " << text.substr(at < 60 ? 0 : at - 60, at < 60 ? at : 60);
}

TEST(HostileTextProbe, FindsWhatIsPlanted) {
    for (const std::string one : {"\x1b", "\x7f", "\xC2\x9B", "\xE2\x80\xAE", "\xE2\x81\xA7", "\b", "\rx"}) {
        EXPECT_EQ(hostile_at("ab" + one), 2U);
    }
    EXPECT_EQ(hostile_at("h\xC3\xB6her \xE2\x80\x93 \xC2\xB0\r\n\t"), std::string_view::npos);
}

class HostileText : public ::testing::Test {
protected:
    static void SetUpTestSuite() {
        s_folder = new TempFolder;
        for (const auto& entry : fs::directory_iterator(std::string(EAVESHED_SOURCE_DIR) + "/testdata/demo")) {
            const fs::path copy = file(entry.path().filename().string());
            fs::copy_file(entry.path(), copy);
            fs::permissions(copy, fs::perms::owner_write, fs::perm_options::add);
        }
        plant();
        const ProgramSaid said = said_by({"screen", file("basin.toml"), "-o", file("out.gpkg")});
        ASSERT_EQ(said.code, 0) << said.errors;
    }
    static void TearDownTestSuite() {
        delete s_folder;
        s_folder = nullptr;
    }

    static std::string file(const std::string& name) { return s_folder->file(name); }

    // Run with a log; nothing hostile comes out of it.
    static ProgramSaid said_by(std::vector<std::string> words) {
        const std::string log = file("run.log");
        fs::remove(log);
        const std::string name = words.front() + " " + words.back();
        words.insert(words.end(), {"--log", log});
        ProgramSaid said = program_said(words);
        expect_clean(name + " on standard output", said.out);
        expect_clean(name + " on standard error", said.errors);
        expect_clean(name + " in its log", content_of(log));
        return said;
    }
    static ProgramSaid expect_done(const std::vector<std::string>& words) {
        ProgramSaid said = said_by(words);
        EXPECT_EQ(said.code, 0) << words.front() << ": " << said.errors;
        return said;
    }
    static void expect_refused(const std::vector<std::string>& words) {
        const ProgramSaid said = said_by(words);
        EXPECT_EQ(said.code, 2) << words.front() << ": " << said.errors;
        EXPECT_FALSE(said.errors.empty() && said.out.empty());
    }

    static inline TempFolder* s_folder = nullptr;

private:
    static void plant() {
        const auto added = [](const std::string& column) { return column + " = " + column + " || '" + kHostile + "'"; };
        testing::edit_file(file("buildings.gpkg"),
                           {"UPDATE buildings SET " + added("bldg_id") + ", " + added("roof_mat") + ", " + added("use"),
                            "UPDATE buildings SET " + added("apn") + " WHERE apn IS NOT NULL",
                            "UPDATE gpkg_spatial_ref_sys SET " + added("srs_name") + ", " + added("description"),
                            "UPDATE gpkg_contents SET " + added("description")});
        testing::edit_file(file("parcels.gpkg"),
                           {"UPDATE parcels SET " + added("apn") + ", " + added("owner") + ", " + added("phone"),
                            "UPDATE parcels SET " + added("source") + " WHERE fid % 2 = 0",
                            "UPDATE parcels SET status = 'odd" + kHostile + "' WHERE fid % 7 = 0",
                            "ALTER TABLE parcels RENAME COLUMN owner TO \"owner" + kMarks + "\""});
        testing::edit_file(file("use_points.gpkg"), {"UPDATE use_points SET " + added("apn")});
        testing::edit_file(file("streams.gpkg"), {"UPDATE streams SET " + added("reach") + ", " + added("creek")});
        testing::edit_file(file("roads.gpkg"), {"UPDATE roads SET " + added("name") + ", " + added("kind")});
        fs::rename(file("exclusions.gpkg"), file("exclusions" + kMarks + ".gpkg"));
        std::string overrides = content_of(file("overrides.csv"));
        overrides += "B00011" + kHostile + ",,3.0,,,,,,,,,,,,,2025-05-12,team" + kHostile + ",note" + kHostile + "\n";
        std::ofstream(file("overrides.csv"), std::ios::binary) << overrides;
        std::string project = content_of(file("basin.toml"));
        replace(project, "Quillwater (invented)", "Quillwater" + kMarksInToml);
        replace(project, "\"exclusions.gpkg\"", "\"exclusions" + kMarksInToml + ".gpkg\"");
        replace(project, "name = \"habitat\"", "name = \"habitat" + kMarksInToml + "\"");
        replace(project, "carry = [\"owner\"", "carry = [\"owner" + kMarksInToml + "\"");
        replace(project, "currency = \"quills\"", "currency = \"quills" + kMarksInToml + "\"");
        project += "\n[[scenarios]]\nname = \"drier" + kMarksInToml + "\"\nrain_factor = 0.8\n";
        std::ofstream(file("basin.toml"), std::ios::binary) << project;
    }

    static void replace(std::string& text, const std::string& from, const std::string& to) {
        ASSERT_NE(text.find(from), std::string::npos) << from;
        text.replace(text.find(from), from.size(), to);
    }
};

std::string first_parcel(const std::string& result) {
    return testing::OutputFile(result).text("SELECT parcel_id FROM parcels WHERE rank = 1");
}

TEST_F(HostileText, TheResultHoldsTheIdsAsTheyAre) {
    EXPECT_THAT(first_parcel(file("out.gpkg")), ::testing::EndsWith(kHostile));
}

TEST_F(HostileText, ComesOutOfNoCommandThatReadsAProject) {
    expect_done({"check", file("basin.toml")});
    expect_done({"check", file("basin.toml"), "--json"});
    expect_done({"split", file("basin.toml"), "--parts", "1", "-o", file("plan")});
    expect_done({"screen", "--part", file("plan"), "1"});
    expect_done({"gather", file("plan"), "-o", file("parts.gpkg")});
    const ProgramSaid draft = expect_done({"check", "--new", s_folder->path().string()});
    EXPECT_THAT(draft.out, ::testing::HasSubstr("[footprints]"));
    expect_done({"check", "--new", s_folder->path().string(), "-o", file("drafted.toml")});
    expect_clean("the drafted project", content_of(file("drafted.toml")));
}

TEST_F(HostileText, ComesOutOfNoCommandThatReadsAResult) {
    const std::string result = file("out.gpkg");
    const std::string parcel = first_parcel(result);
    const std::string roof =
        testing::OutputFile(result).text("SELECT roof_id FROM roofs WHERE status = 'ok' ORDER BY rowid LIMIT 1");
    for (const char* const json : {"", "--json"}) {
        for (std::vector<std::string> words :
             {std::vector<std::string>{"summary", result},
              {"explain", result, "--roof", roof, "--project", file("basin.toml")},
              {"explain", result, "--parcel", parcel, "--project", file("basin.toml")}}) {
            if (*json != '\0') {
                words.emplace_back(json);
            }
            expect_done(words);
        }
    }
    expect_done({"rank", result, "--draws", "0", "--project", file("basin.toml"), "--csv", file("calls.csv"), "--xlsx",
                 file("calls.xlsx")});
    expect_done({"enrol", result, "--budget", "50000", "--project", file("basin.toml"), "--csv", file("plan.csv"),
                 "--reaches-csv", file("reaches.csv")});
    expect_done({"compare", result, result, "--csv", file("compared.csv")});
    expect_done({"styles", result, "-o", file("styles")});
    std::ofstream(file("letter.txt")) << "Dear {{owner" << kHostile << "}}, {{parcel_id}}\n";
    std::ofstream(file("letter2.txt")) << "Dear {{phone}}, {{parcel_id}} at {{creek}}\n";
    expect_done({"report", result, "-o", file("report"), "--project", file("basin.toml"), "--top", "3", "--letter",
                 file("letter2.txt")});
    expect_done({"report", result, "-o", file("public"), "--public"});
    for (const char* const list : {"calls.csv", "plan.csv", "reaches.csv", "compared.csv"}) {
        expect_clean(list, content_of(file(list)));
    }
    int pages = 0;
    for (const char* const folder : {"report", "public", "styles"}) {
        for (const auto& entry : fs::recursive_directory_iterator(file(folder))) {
            if (entry.is_regular_file() && entry.path().extension() != ".png") {
                expect_clean(entry.path().string(), content_of(entry.path()));
                expect_clean("a name", entry.path().filename().string());
                ++pages;
            }
        }
    }
    EXPECT_GE(pages, 10);
}

// The styles and metadata that viewers read out of the result.
TEST_F(HostileText, StandsInNoStyleAndNoMetadataOfTheResult) {
    const testing::OutputFile result(file("out.gpkg"));
    for (const char* const query : {"SELECT group_concat(styleQML || styleSLD) FROM layer_styles",
                                    "SELECT group_concat(metadata) FROM gpkg_metadata",
                                    "SELECT group_concat(identifier || description) FROM gpkg_contents",
                                    "SELECT group_concat(title || description) FROM gpkg_data_columns"}) {
        const std::string text = result.text(query);
        EXPECT_FALSE(text.empty()) << query;
        expect_clean(query, text);
    }
}

TEST_F(HostileText, ComesOutOfNoErrorMessage) {
    const std::string result = file("out.gpkg");
    const std::string bad = "no" + kHostile;
    expect_refused({"explain", result, "--roof", bad});
    expect_refused({"rank", result, "--where", bad + " > 1"});
    expect_refused({"rank", result, "--weight", bad + "=1"});
    expect_refused({"rank", result, "--weight", bad});
    expect_refused({"rank", result, "--creek", bad});
    expect_refused({"rank", result, "--reach", bad});
    expect_refused({"rank", result, "--scenario", bad});
    expect_refused({"rank", result, "--csv", file(bad)});
    expect_refused({"summary", file(bad)});
    expect_refused({"check", file(bad)});
    expect_refused({"screen", "--part", file(bad), bad});
    expect_refused({"columns", bad});
    expect_refused({"help", bad});
    expect_refused({"report", result, "-o", file("no/" + bad)});
    const ProgramSaid unknown = program_said({bad});
    EXPECT_EQ(unknown.code, 2);
    expect_clean("an unknown command", unknown.errors);
    const ProgramSaid log = program_said({"summary", result, "--log", file("no/" + bad)});
    EXPECT_EQ(log.code, 2);
    expect_clean("a log that cannot be", log.errors);
    for (const std::string& line :
         {"[basin]\nname" + std::string("_x") + " = \"a\"", "[\"" + kInToml + "\"]\na = 1", "x = \"" + kInToml,
          "[footprints]\nsource = \"" + kInToml + "\"", "[terrain]\nvertical_unit = \"" + kInToml + "\"",
          "[basin]\nname = \"" + kHostile + "\"",
          "[footprints]\nsource = \"buildings.gpkg\"\nlayer = \"" + kInToml + "\"",
          "[footprints]\nsource = \"buildings.gpkg\"\nid = \"" + kInToml + "\"",
          "[footprints]\nsource = \"buildings.gpkg\"\nwhere = \"" + kInToml + " > 1\""}) {
        expect_refused({"check", s_folder->write("bad.toml", line + "\n")});
    }
}

}  // namespace
}  // namespace eaveshed
