// Inputs that lie behind addresses: the rows of files on this machine, from the hosts that were named and no others.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <atomic>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <regex>

#include "run/small_basin.hpp"
#include "support/output_file.hpp"
#include "support/program_said.hpp"
#include "support/range_server.hpp"

namespace eaveshed {
namespace {

using testing::Asked;
using testing::bytes_of;
using ::testing::HasSubstr;
using testing::HowToAnswer;
using ::testing::Not;
using testing::OutputFile;
using testing::program_said;
using testing::ProgramSaid;
using testing::RangeServer;
using testing::TempFolder;
namespace fs = std::filesystem;

const std::vector<std::string> kAllowed{"--allow-network", "127.0.0.1"};

ProgramSaid said_with_network(std::vector<std::string> words) {
    words.insert(words.end(), kAllowed.begin(), kAllowed.end());
    return program_said(words);
}

// Two folders: what a server gives, and the project. The elevations are of 2 m, in blocks of 128 x 128.
struct RemoteBasin {
    RemoteBasin() {
        fs::create_directory(folder.path() / "there");
        write_footprints(basin, there("buildings.fgb"));
        write_parcels(basin, there("parcels.fgb"));
        write_rain(basin, there("rain.tif"));
        testing::RasterSpec dem = raster_over_basin(kBasinCrs, 2.0, 0.0, 1, [](int, Point p) { return ground_m(p); });
        dem.type = GDT_Float32;
        dem.options = {"TILED=YES", "BLOCKXSIZE=128", "BLOCKYSIZE=128"};
        testing::write_raster(there("dem.tif"), dem);
    }

    [[nodiscard]] std::string there(const std::string& name) const { return folder.file("there/" + name); }

    // The project with its inputs at `base` + name + `query`.
    [[nodiscard]] std::string project(const std::string& file, const std::string& base,
                                      const std::string& query = "") const {
        std::string text = project_text(basin);
        for (const std::string name : {"buildings.gpkg", "parcels.gpkg", "dem.tif", "rain.tif"}) {
            const std::string there_is = name.ends_with(".gpkg") ? name.substr(0, name.size() - 4) + "fgb" : name;
            text = std::regex_replace(text, std::regex("\"" + name + "\""), "\"" + base + there_is + query + "\"");
        }
        return folder.write(file, text);
    }

    SmallBasin basin;
    TempFolder folder;
};

// Every table but where they tell where the inputs lay.
void expect_same_tables(const std::string& a, const std::string& b) {
    const OutputFile one(a);
    const OutputFile other(b);
    std::size_t rows = 0;
    for (const auto& table : one.rows("SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'rtree%' "
                                      "AND name NOT LIKE 'gpkg_metadata%' AND name NOT LIKE 'sqlite%'")) {
        const std::string name = testing::text(table, "name");
        const std::string all = "SELECT * FROM \"" + name + "\" " +
                                (name == "run_record" ? "WHERE key NOT LIKE 'input.%' AND key NOT LIKE 'setting.%' AND "
                                                        "key NOT LIKE 'project.%' AND key NOT LIKE 'warning.%'"
                                                      : "");
        EXPECT_TRUE(one.rows(all) == other.rows(all)) << name;
        rows += one.rows(all).size();
    }
    EXPECT_GT(rows, 100U);
}

TEST(Network, TheRowsAreThoseOfFilesHereAndNoRecordHoldsASignature) {
    const RemoteBasin basin;
    RangeServer server(basin.folder.path() / "there", [](const Asked& asked) {
        return HowToAnswer{.status = asked.target.ends_with("?sig=secret") ? 206 : 403};
    });
    const std::string here = basin.folder.file("here.gpkg");
    const std::string remote = basin.folder.file("remote.gpkg");
    const std::string log = basin.folder.file("log.jsonl");
    ASSERT_EQ(program_said({"screen", basin.project("here.toml", "there/"), "-o", here}).code, 0);
    const std::string project = basin.project("remote.toml", server.url(""), "?sig=secret");
    const ProgramSaid said = said_with_network({"screen", project, "-o", remote, "--log", log, "--threads", "2"});
    ASSERT_EQ(said.code, 0) << said.errors;
    expect_same_tables(here, remote);
    EXPECT_THAT(said.errors, HasSubstr("read over the network: "));
    EXPECT_THAT(bytes_of(log), HasSubstr("read over the network: "));
    for (const std::string& held : {bytes_of(remote), bytes_of(log), said.errors, said.out}) {
        EXPECT_THAT(held, Not(HasSubstr("secret")));
    }
    const OutputFile a(here);
    const OutputFile b(remote);
    EXPECT_THAT(b.record("setting.terrain.elevation"), HasSubstr(server.url("dem.tif") + "\""));
    const std::string digests = "SELECT group_concat(value) FROM run_record WHERE key LIKE 'input.%.sha256'";
    EXPECT_EQ(a.text(digests), b.text(digests));

    // Opened again, it takes the signature from the project file.
    const ProgramSaid unsigned_one = said_with_network({"explain", remote, "--roof", "R05"});
    EXPECT_EQ(unsigned_one.code, 2);
    EXPECT_THAT(unsigned_one.errors, HasSubstr("--project"));
    const ProgramSaid explained = said_with_network({"explain", remote, "--roof", "R05", "--project", project});
    EXPECT_EQ(explained.code, 0) << explained.errors;
    EXPECT_THAT(program_said({"explain", remote, "--roof", "R05", "--project", project}).errors,
                HasSubstr("--allow-network 127.0.0.1"));
}

TEST(Network, InPartsTheResultIsThatOfOneRunAndAPartReadsItsBlocksAlone) {
    const RemoteBasin basin;
    RangeServer server(basin.folder.path() / "there");
    const std::string project = basin.project("remote.toml", server.url(""));
    const std::string plan = basin.folder.file("plan");
    ASSERT_EQ(said_with_network({"screen", project, "-o", basin.folder.file("one.gpkg")}).code, 0);
    const ProgramSaid split = said_with_network({"split", project, "--parts", "4", "-o", plan, "--memory", "130"});
    ASSERT_EQ(split.code, 0) << split.errors;
    EXPECT_THAT(split.out, HasSubstr("K --allow-network 127.0.0.1"));
    const std::uint64_t whole = fs::file_size(basin.there("dem.tif"));
    for (const char* const part : {"1", "2", "3", "4"}) {
        server.forget();
        ASSERT_EQ(said_with_network({"screen", "--part", plan, part}).code, 0);
        EXPECT_LT(server.bytes_of("dem.tif"), whole * 6 / 10) << part;
        EXPECT_GT(server.bytes_of("dem.tif"), whole / 20) << part;
        EXPECT_LE(server.bytes_of("buildings.fgb"), 32768U);
        EXPECT_LE(server.requests_for(".aux.xml") + server.requests_for(".msk"), 4U);
    }
    EXPECT_EQ(program_said({"screen", "--part", plan, "1"}).code, 0);  // stands: nothing is opened
    fs::remove(basin.folder.file("plan/rows/000001.rows"));
    EXPECT_EQ(program_said({"screen", "--part", plan, "1"}).code, 2);
    ASSERT_EQ(said_with_network({"screen", "--part", plan, "1"}).code, 0);
    ASSERT_EQ(said_with_network({"gather", plan, "-o", basin.folder.file("parts.gpkg")}).code, 0);
    EXPECT_TRUE(bytes_of(basin.folder.file("one.gpkg")) == bytes_of(basin.folder.file("parts.gpkg")));
}

TEST(Network, APartTakesSignaturesFromTheProjectFileAlsoARenewedOne) {
    const RemoteBasin basin;
    std::string wanted = "?sig=old";
    RangeServer server(basin.folder.path() / "there", [&](const Asked& asked) {
        return HowToAnswer{.status = asked.target.ends_with(wanted) ? 206 : 403};
    });
    const std::string plan = basin.folder.file("plan");
    const std::string project = basin.project("remote.toml", server.url(""), "?sig=old");
    ASSERT_EQ(said_with_network({"split", project, "--parts", "2", "-o", plan}).code, 0);
    EXPECT_THAT(bytes_of(plan + "/plan.json"), Not(HasSubstr("sig=")));
    EXPECT_EQ(said_with_network({"screen", "--part", plan, "1"}).code, 0);
    wanted = "?sig=new";
    EXPECT_THAT(said_with_network({"screen", "--part", plan, "2"}).errors, HasSubstr("(403)"));
    (void)basin.project("renewed.toml", server.url(""), "?sig=new");
    const ProgramSaid renewed =
        said_with_network({"screen", "--part", plan, "2", "--project", basin.folder.file("renewed.toml")});
    EXPECT_EQ(renewed.code, 0) << renewed.errors;
}

TEST(Network, AnInputThatChangedOnItsServerIsToldToThePart) {
    const RemoteBasin basin;
    RangeServer server(basin.folder.path() / "there");
    const std::string plan = basin.folder.file("plan");
    ASSERT_EQ(
        said_with_network({"split", basin.project("remote.toml", server.url("")), "--parts", "1", "-o", plan}).code, 0);
    fs::last_write_time(basin.there("dem.tif"), fs::file_time_type::clock::now() + std::chrono::hours(1));
    const ProgramSaid said = said_with_network({"screen", "--part", plan, "1"});
    EXPECT_EQ(said.code, 2);
    EXPECT_THAT(said.errors, HasSubstr("terrain.elevation"));
    EXPECT_THAT(said.errors, HasSubstr("modified"));
}

TEST(Network, WithoutTheWordsNothingIsAskedAndOtherHostsNever) {
    const RemoteBasin basin;
    RangeServer server(basin.folder.path() / "there");
    const std::string project = basin.project("remote.toml", server.url(""));
    for (const char* const command : {"check", "screen"}) {
        const ProgramSaid off = program_said({command, project});
        EXPECT_EQ(off.code, 2);
        EXPECT_THAT(off.out + off.errors, HasSubstr("--allow-network 127.0.0.1"));
        const ProgramSaid other = program_said({command, project, "--allow-network", "data.example.org"});
        EXPECT_EQ(other.code, 2);
        EXPECT_THAT(other.out + other.errors, HasSubstr("host that was not named"));
    }
    EXPECT_EQ(program_said({"check", project, "--allow-network", "http://127.0.0.1"}).code, 2);
    EXPECT_TRUE(server.asked().empty());
    EXPECT_EQ(said_with_network({"check", project}).code, 0);
}

TEST(Network, MovedMissingAndUnreadableInputsAreToldBeforeAnyWork) {
    const RemoteBasin basin;
    RangeServer elsewhere(basin.folder.path() / "there");
    HowToAnswer how;
    RangeServer server(basin.folder.path() / "there",
                       [&](const Asked& asked) { return asked.target == "/dem.tif" ? how : HowToAnswer{}; });
    const std::string project = basin.project("remote.toml", server.url(""));
    const std::string output = basin.folder.file("out.gpkg");
    const auto expect_told = [&](const std::string& part) {
        const ProgramSaid said = said_with_network({"screen", project, "-o", output});
        EXPECT_EQ(said.code, 2) << said.errors;
        EXPECT_THAT(said.errors, HasSubstr(part));
        EXPECT_FALSE(fs::exists(output));
    };
    how = {.status = 301, .location = elsewhere.url("dem.tif")};
    expect_told("sends on to " + elsewhere.url("dem.tif"));
    EXPECT_TRUE(elsewhere.asked().empty());
    how = {.status = 404};
    expect_told("no such file on the server (404)");
    how = {.whole = true};
    expect_told("the whole file only (200)");
}

TEST(Network, ServersThatFailInPassingAreOutlivedOrExitWith75AndResumed) {
    const RemoteBasin basin;
    std::atomic<int> trouble{0};  // 1: now and then, 2: for good, once the tiles are at work
    RangeServer server(basin.folder.path() / "there", [&](const Asked& asked) {
        const bool block = asked.target == "/dem.tif" && asked.first > 200'000 && asked.end - asked.first < 200'000;
        return trouble == 1   ? HowToAnswer{.status = asked.number % 7 == 3 ? 500 : 206, .cut = asked.number % 7 == 5}
               : trouble == 2 ? HowToAnswer{.status = block ? 503 : 206}
                              : HowToAnswer{};
    });
    const std::string project = basin.project("remote.toml", server.url(""));
    const std::string calm = basin.folder.file("calm.gpkg");
    const std::string rough = basin.folder.file("rough.gpkg");
    ASSERT_EQ(said_with_network({"screen", project, "-o", calm}).code, 0);
    trouble = 2;
    const ProgramSaid failed = said_with_network({"screen", project, "-o", rough});
    EXPECT_EQ(failed.code, 75) << failed.errors;
    EXPECT_THAT(failed.errors, HasSubstr("HTTP status 503"));
    EXPECT_FALSE(fs::exists(rough));
    trouble = 1;
    const ProgramSaid resumed = said_with_network({"screen", project, "-o", rough, "--resume"});
    EXPECT_EQ(resumed.code, 0) << resumed.errors;
    EXPECT_TRUE(bytes_of(calm) == bytes_of(rough));
}

TEST(Network, ADeadServerIsPassing) {
    const RemoteBasin basin;
    RangeServer server(basin.folder.path() / "there");
    const std::string project = basin.project("remote.toml", server.url(""));
    server.stop();
    const ProgramSaid said = said_with_network({"check", project});
    EXPECT_EQ(said.code, 75) << said.errors;
    EXPECT_THAT(said.errors, HasSubstr("run again when server and network are in order"));
}

TEST(Network, FilesThatAreNotReadByRangesAreRefusedWithTheWayOut) {
    const RemoteBasin basin;
    RangeServer server(basin.folder.path() / "there");
    const auto expect_told = [&](const std::string& from, const std::string& to, const std::string& part) {
        std::string text = project_text(basin.basin);
        text.replace(text.find(from), from.size(), to);
        const ProgramSaid said = said_with_network({"check", basin.folder.write("odd.toml", text)});
        EXPECT_EQ(said.code, 2);
        EXPECT_THAT(said.out + said.errors, HasSubstr(part));
    };
    expect_told("buildings.gpkg", server.url("buildings.gpkg"), "ogr2ogr NEW.fgb OLD");
    expect_told("dem.tif", server.url("dem.vrt"), "gdal_translate -of COG");
    expect_told("rain.tif", server.url("rain.nc"), "gdal_translate -of COG");
    expect_told("dem.tif", "s3://bucket/dem.tif", "public or signed https address");
    expect_told("dem.tif", "/vsicurl/" + server.url("dem.tif"), "a virtual path");
    EXPECT_TRUE(server.asked().empty());
}

TEST(Network, AMosaicOfThisMachineLeadsToNoHost) {
    const RemoteBasin basin;
    RangeServer server(basin.folder.path() / "there");
    for (const std::string& source :
         {"/vsicurl/" + server.url("dem.tif"), server.url("dem.tif"), "/vsieaveshed/" + server.url("dem.tif")}) {
        basin.folder.write(
            "dem.vrt",
            "<VRTDataset rasterXSize=\"750\" rasterYSize=\"750\"><VRTRasterBand dataType=\"Float32\" "
            "band=\"1\"><SimpleSource><SourceFilename relativeToVRT=\"0\">" +
                source + "</SourceFilename><SourceBand>1</SourceBand></SimpleSource></VRTRasterBand></VRTDataset>");
        std::string text = project_text(basin.basin);
        text.replace(text.find("dem.tif"), 7, "dem.vrt");
        const ProgramSaid said = said_with_network({"check", basin.folder.write("odd.toml", text)});
        EXPECT_EQ(said.code, 2);
        EXPECT_THAT(said.out + said.errors, HasSubstr("dem.vrt"));
    }
    EXPECT_TRUE(server.asked().empty());
}

}  // namespace
}  // namespace eaveshed
