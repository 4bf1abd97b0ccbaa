// What is private stays with whom it is of: names and telephones of owners, and where on whose machine the files lie.
#include <sys/stat.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
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
using ::testing::HasSubstr;
using testing::program_said;
using testing::ProgramSaid;
using testing::TempFolder;

namespace fs = std::filesystem;

constexpr const char* kOwner = "Zyxomma Quillfeather";
constexpr const char* kPhone = "+99 555 0199 8";
constexpr const char* kHome = "home-of-somebody";

// The demo basin in a folder that names its user, with the same owner everywhere, screened.
class PrivateData : public ::testing::Test {
protected:
    static void SetUpTestSuite() {
        s_folder = new TempFolder;
        fs::create_directory(s_folder->path() / kHome);
        for (const auto& entry : fs::directory_iterator(std::string(EAVESHED_SOURCE_DIR) + "/testdata/demo")) {
            const fs::path copy = file(entry.path().filename().string());
            fs::copy_file(entry.path(), copy);
            fs::permissions(copy, fs::perms::owner_write, fs::perm_options::add);
        }
        testing::edit_file(file("parcels.gpkg"),
                           {std::string("UPDATE parcels SET owner = '") + kOwner + "', phone = '" + kPhone + "'"});
        said_by({"screen", file("basin.toml"), "-o", file("out.gpkg")});
    }
    static void TearDownTestSuite() {
        delete s_folder;
        s_folder = nullptr;
    }

    static std::string file(const std::string& name) { return (s_folder->path() / kHome / name).string(); }

    // Nobody's name in what it says or logs.
    static void said_by(std::vector<std::string> words) {
        const std::string log = file("run.log");
        fs::remove(log);
        const std::string name = words.front();
        words.insert(words.end(), {"--log", log});
        const ProgramSaid said = program_said(words);
        EXPECT_EQ(said.code, 0) << name << ": " << said.errors;
        expect_nobody(name + " on standard output", said.out);
        expect_nobody(name + " on standard error", said.errors);
        expect_nobody(name + " in its log", content_of(log));
    }

    static void expect_nobody(const std::string& what, const std::string& text) {
        EXPECT_EQ(text.find("Zyxomma"), std::string::npos) << what;
        EXPECT_EQ(text.find("555 0199"), std::string::npos) << what;
    }
    static void expect_no_place(const std::string& what, const std::string& text) {
        EXPECT_EQ(text.find(kHome), std::string::npos) << what;
        EXPECT_EQ(text.find(s_folder->path().string()), std::string::npos) << what;
    }

    static std::string value(const std::string& query) { return testing::OutputFile(file("out.gpkg")).text(query); }

    static inline TempFolder* s_folder = nullptr;
};

TEST_F(PrivateData, NamesStandInNoResultAndNoMessage) {
    const std::string result = file("out.gpkg");
    expect_nobody("the result", content_of(result));
    said_by({"check", file("basin.toml")});
    said_by({"check", file("basin.toml"), "--json"});
    said_by({"check", "--new", file("parcels.gpkg"), file("buildings.gpkg"), "-o", file("draft.toml")});
    expect_nobody("a drafted project", content_of(file("draft.toml")));
    said_by({"summary", result});
    said_by({"summary", result, "--json"});
    said_by({"compare", result, result, "--csv", file("compared.csv")});
    expect_nobody("a comparison", content_of(file("compared.csv")));
    const std::string parcel = value("SELECT parcel_id FROM parcels WHERE rank = 1");
    said_by({"explain", result, "--parcel", parcel, "--project", file("basin.toml")});
    said_by({"explain", result, "--parcel", parcel, "--project", file("basin.toml"), "--json"});
    said_by({"report", result, "-o", file("pages"), "--project", file("basin.toml"), "--top", "2"});
    said_by({"report", result, "-o", file("public"), "--public"});
    for (const char* const folder : {"pages", "public"}) {
        for (const auto& entry : fs::recursive_directory_iterator(file(folder))) {
            if (entry.is_regular_file()) {
                expect_nobody(entry.path().string(), content_of(entry.path()));
            }
        }
    }
    said_by({"split", file("basin.toml"), "--parts", "1", "-o", file("plan")});
    said_by({"screen", "--part", file("plan"), "1"});
    for (const auto& entry : fs::recursive_directory_iterator(file("plan"))) {
        if (entry.is_regular_file()) {
            expect_nobody(entry.path().string(), content_of(entry.path()));
        }
    }
    said_by({"gather", file("plan"), "-o", file("parts.gpkg")});
    expect_nobody("the result of parts", content_of(file("parts.gpkg")));
}

// The files that are there for them say so, and only their owner may read them.
TEST_F(PrivateData, NamesStandInCallListsAndLettersThatOnlyTheirOwnerMayRead) {
    const std::string result = file("out.gpkg");
    said_by({"rank", result, "--project", file("basin.toml"), "--csv", file("calls.csv"), "--xlsx", file("calls.xlsx"),
             "--draws", "0"});
    said_by({"enrol", result, "--budget", "50000", "--project", file("basin.toml"), "--csv", file("plan.csv"),
             "--reaches-csv", file("reaches.csv")});
    expect_nobody("gains by reach", content_of(file("reaches.csv")));
    std::ofstream(file("letter.txt")) << "Dear {{owner}}, {{phone}}\n";
    said_by({"report", result, "-o", file("letters"), "--project", file("basin.toml"), "--top", "1", "--letter",
             file("letter.txt")});
    std::vector<fs::path> private_files{file("calls.csv"), file("calls.xlsx"), file("plan.csv")};
    for (const auto& entry : fs::recursive_directory_iterator(file("letters"))) {
        if (entry.path().extension() == ".txt" && content_of(entry.path()).find(kOwner) != std::string::npos) {
            private_files.push_back(entry.path());
        } else if (entry.is_regular_file()) {
            expect_nobody(entry.path().string(), content_of(entry.path()));
        }
    }
    EXPECT_EQ(private_files.size(), 4U);
    EXPECT_THAT(content_of(file("calls.csv")), HasSubstr(kOwner));
    EXPECT_THAT(content_of(file("plan.csv")), HasSubstr(kOwner));
    for (const fs::path& path : private_files) {
        EXPECT_EQ(fs::status(path).permissions(), fs::perms::owner_read | fs::perms::owner_write) << path;
        if (path.extension() == ".csv") {
            expect_no_place(path.string(), content_of(path));
        }
    }
}

// A project that names its files relative to itself gives results that say nothing of where it lies.
TEST_F(PrivateData, WhereTheFilesLieStandsInNothingThatIsGivenAway) {
    const std::string result = file("out.gpkg");
    expect_no_place("the result", content_of(result));
    const std::string record = value("SELECT group_concat(value) FROM run_record WHERE key LIKE 'input.%.path'");
    EXPECT_THAT(record, HasSubstr("buildings.gpkg"));
    for (const std::string options : {"--top", "--public"}) {
        const std::string folder = file("given" + options);
        std::vector<std::string> words{"report", result, "-o", folder, options};
        if (options == "--top") {
            words.insert(words.end(), {"2", "--project", file("basin.toml")});
        }
        said_by(words);
        for (const auto& entry : fs::recursive_directory_iterator(folder)) {
            if (entry.is_regular_file()) {
                expect_no_place(entry.path().string(), content_of(entry.path()));
            }
        }
    }
    said_by({"styles", result, "-o", file("styles")});
    for (const auto& entry : fs::directory_iterator(file("styles"))) {
        expect_no_place(entry.path().string(), content_of(entry.path()));
    }
    said_by({"split", file("basin.toml"), "--parts", "1", "-o", file("plan_away")});
    said_by({"screen", "--part", file("plan_away"), "1"});
    said_by({"gather", file("plan_away"), "-o", file("gathered.gpkg")});
    expect_no_place("a gathered result", content_of(file("gathered.gpkg")));
}

// Of a project with whole paths the page for all holds digests and no path; the others hold them as given.
TEST_F(PrivateData, ThePageForAllHoldsNoPathsWhateverTheProjectGave) {
    std::string project = content_of(file("basin.toml"));
    for (const char* const input : {"\"buildings.gpkg\"", "\"dem.tif\""}) {
        const std::string name(input);
        project.replace(project.find(name), name.size(), "\"" + file(name.substr(1, name.size() - 2)) + "\"");
    }
    std::ofstream(file("whole_paths.toml")) << project;
    said_by({"screen", file("whole_paths.toml"), "-o", file("whole.gpkg")});
    EXPECT_THAT(content_of(file("whole.gpkg")), HasSubstr(kHome));
    said_by({"report", file("whole.gpkg"), "-o", file("for_all"), "--public"});
    for (const auto& entry : fs::recursive_directory_iterator(file("for_all"))) {
        if (entry.is_regular_file()) {
            expect_no_place(entry.path().string(), content_of(entry.path()));
        }
    }
}

}  // namespace
}  // namespace eaveshed
