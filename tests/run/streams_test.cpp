// Streams from end to end, on the demo basin: given lines and derived ones.
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <map>
#include <set>
#include <sstream>

#include "eaveshed/demand/source_share.hpp"
#include "eaveshed/explain/explain.hpp"
#include "run/run_project.hpp"
#include "support/output_file.hpp"
#include "support/plain_values.hpp"

namespace eaveshed {
namespace {

using testing::bytes_of;
using testing::number;
using testing::OutputFile;
using testing::OutputRow;
using testing::TempFolder;
using testing::text;
namespace fs = std::filesystem;

// The demo's project with another [streams], in a folder beside links to its inputs.
class DemoWithStreams : public ::testing::Test {
protected:
    std::string project_with(const std::string& streams, const std::string& more = "") {
        const fs::path demo = fs::path(demo_project()).parent_path();
        for (const auto& entry : fs::directory_iterator(demo)) {
            std::error_code there;
            fs::create_symlink(entry.path(), m_folder.path() / entry.path().filename(), there);
        }
        std::ifstream in(demo_project());
        std::string all((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
        const std::size_t begin = all.find("[streams]");
        const std::size_t end = all.find("# Garden taps");
        all.replace(begin, end - begin, streams + "\n" + more + "\n");
        fs::remove(m_folder.path() / "streams.toml");
        return m_folder.write("streams.toml", all);
    }
    std::string screened_with(const std::string& streams, const std::string& more = "", const How& how = {}) {
        const std::string project = project_with(streams, more);
        How again = how;
        again.overwrite = true;
        screened(project, m_folder.file("out.gpkg"), again);
        return m_folder.file("out.gpkg");
    }

    TempFolder m_folder;
};

constexpr const char* kGiven =
    "[streams]\nsource = \"streams.gpkg\"\nid = \"reach\"\nname = \"creek\"\nlow_flow_lps = \"low_flow_lps\"\n";
constexpr const char* kDerived = "[streams]\nderive = true\nstream_area_km2 = 0.3\n";

// The sum of a column; 0 of no row.
double sum_of(const OutputFile& file, const std::string& column, const std::string& from) {
    return number(file.rows("SELECT total(" + column + ") AS v FROM " + from).at(0), "v").value();
}

std::map<std::string, OutputRow> by_id(const OutputFile& file, const std::string& table, const std::string& id) {
    std::map<std::string, OutputRow> rows;
    for (const OutputRow& row : file.rows("SELECT * FROM " + table)) {
        EXPECT_TRUE(rows.emplace(text(row, id), row).second) << text(row, id);
    }
    return rows;
}

void expect_sums_agree(const OutputFile& file) {
    constexpr double kAgrees = 1e-9;
    const auto reaches = by_id(file, "reaches", "reach_id");
    std::map<std::string, double> local;
    for (const OutputRow& parcel : file.rows("SELECT * FROM parcels WHERE reach_id IS NOT NULL")) {
        ASSERT_TRUE(reaches.contains(text(parcel, "reach_id")));
        local[text(parcel, "reach_id")] += number(parcel, "instream_gain_lps").value_or(0.0);
    }
    // What comes down to a reach is its own and that of every reach whose water passes it, followed one by one.
    std::map<std::string, double> total;
    for (const auto& [id, row] : reaches) {
        EXPECT_NEAR(number(row, "gain_local_lps").value(), local[id], kAgrees) << id;
        std::size_t steps = 0;
        for (std::string at = id; !at.empty(); at = text(reaches.at(at), "next_reach_id")) {
            total[at] += local[id];
            ASSERT_LT(++steps, reaches.size() + 1);
        }
    }
    for (const auto& [id, row] : reaches) {
        EXPECT_NEAR(number(row, "gain_total_lps").value(), total[id], kAgrees) << id;
        if (const auto low = number(row, "low_flow_lps"); low && *low > 0.0) {
            EXPECT_NEAR(number(row, "gain_share").value(), total[id] / *low, kAgrees);
        } else {
            EXPECT_FALSE(number(row, "gain_share"));
        }
    }
    EXPECT_NEAR(sum_of(file, "gain_total_lps", "reaches WHERE next_reach_id IS NULL"),
                sum_of(file, "instream_gain_lps", "parcels WHERE reach_id IS NOT NULL"), kAgrees);
    for (const auto& [id, row] : by_id(file, "subbasins", "subbasin_id")) {
        const std::string in = " WHERE subbasin_id = '" + id + "'";
        EXPECT_EQ(number(row, "roof_count"), file.count("SELECT count(*) FROM roofs" + in));
        EXPECT_NEAR(number(row, "roofs_harvest_mean_m3").value(), sum_of(file, "harvest_mean_m3", "roofs" + in),
                    kAgrees);
        EXPECT_NEAR(number(row, "forbearance_m3").value(),
                    sum_of(file, "forbearance_m3", "parcels" + in) +
                        sum_of(file, "forbearance_m3", "roofs" + in + " AND parcel_id IS NULL"),
                    kAgrees);
    }
}

TEST_F(DemoWithStreams, SumsOfReachesAndSubbasinsAgreeWithTheRows) {
    for (const char* const streams : {kGiven, kDerived}) {
        const OutputFile file(screened_with(streams));
        SCOPED_TRACE(streams);
        EXPECT_GT(file.count("SELECT count(*) FROM reaches"), 5);
        EXPECT_EQ(file.count("SELECT count(*) FROM reaches"), file.count("SELECT count(*) FROM subbasins"));
        EXPECT_EQ(file.count("SELECT count(*) FROM roofs WHERE status = 'ok' AND reach_id IS NULL"), 0);
        EXPECT_EQ(file.count("SELECT count(*) FROM roofs WHERE status <> 'ok' AND reach_id IS NOT NULL"), 0);
        EXPECT_GT(file.count("SELECT count(*) FROM parcels WHERE reach_entry = 'flow'"), 150);
        expect_sums_agree(file);
    }
}

TEST_F(DemoWithStreams, ACandidatesShareOfTheLowFlowIsItsAddedGainOverThatOfItsReach) {
    const OutputFile file(screened_with(kGiven));
    const auto reaches = by_id(file, "reaches", "reach_id");
    std::size_t seen = 0;
    for (const OutputRow& parcel : file.rows("SELECT * FROM parcels WHERE rank IS NOT NULL")) {
        const double low = number(reaches.at(text(parcel, "reach_id")), "low_flow_lps").value();
        const double share = number(parcel, "added_gain_lps").value() / low;
        EXPECT_DOUBLE_EQ(number(parcel, "low_flow_share").value(), share);
        EXPECT_NEAR(number(parcel, "score_low_flow_share").value(), std::min(1.0, share / 0.05), 1e-12);
        ++seen;
    }
    EXPECT_GT(seen, 100U);
}

TEST_F(DemoWithStreams, NothingHangsOnThreadsOrTiles) {
    for (const char* const streams : {kGiven, kDerived}) {
        const std::string expected = bytes_of(screened_with(streams));
        for (const How& how : {How{.threads = 3, .tile_side_m = 200.0}, How{.threads = 2, .memory_mib = 200}}) {
            EXPECT_TRUE(bytes_of(screened_with(streams, "", how)) == expected) << streams;
        }
    }
}

// The line of a reach: GeoPackage binary with an xy envelope, then WKB.
std::vector<Point> line_in(const std::string& geometry) {
    constexpr std::size_t kHeader = 8 + 4 * sizeof(double) + 1 + sizeof(std::uint32_t);
    std::uint32_t count = 0;
    std::memcpy(&count, geometry.data() + kHeader, sizeof(count));
    std::vector<Point> points(count);
    std::memcpy(points.data(), geometry.data() + kHeader + sizeof(count), count * sizeof(Point));
    return points;
}

double distance_m(const std::vector<std::vector<Point>>& lines, Point place) {
    double best = 1e9;
    for (const auto& line : lines) {
        for (std::size_t i = 0; i + 1 < line.size(); ++i) {
            const double dx = line[i + 1].x - line[i].x;
            const double dy = line[i + 1].y - line[i].y;
            const double along =
                std::clamp(((place.x - line[i].x) * dx + (place.y - line[i].y) * dy) / (dx * dx + dy * dy), 0.0, 1.0);
            best = std::min(best, std::hypot(line[i].x + along * dx - place.x, line[i].y + along * dy - place.y));
        }
    }
    return best;
}

std::vector<std::vector<Point>> lines_of(const OutputFile& file) {
    std::vector<std::vector<Point>> lines;
    for (const OutputRow& row : file.rows("SELECT geom FROM reaches")) {
        lines.push_back(line_in(text(row, "geom")));
    }
    return lines;
}

// From the rim of the nearest pad to the streams.
double nearest_pad_m(const OutputFile& file) {
    const auto lines = lines_of(file);
    double nearest = 1e9;
    for (const OutputRow& pad : file.rows("SELECT geom, pad_radius_m FROM pads WHERE arrangement <> 'row'")) {
        const std::string geometry = text(pad, "geom");
        Point place;
        std::memcpy(&place, geometry.data() + 8 + 1 + sizeof(std::uint32_t), sizeof(place));
        nearest = std::min(nearest, distance_m(lines, place) - number(pad, "pad_radius_m").value());
    }
    return nearest;
}

TEST_F(DemoWithStreams, TanksKeepAwayFromDerivedStreamsAsFromGivenOnes) {
    for (const char* const streams : {kGiven, kDerived}) {
        EXPECT_LT(nearest_pad_m(OutputFile(screened_with(streams, "[siting]\nstream_setback_m = 0\n"))), 39.0);
        EXPECT_GE(nearest_pad_m(OutputFile(screened_with(streams, "[siting]\nstream_setback_m = 40\n"))), 40.0 - 1e-6);
    }
}

TEST_F(DemoWithStreams, AShallowWellIsAsFarFromItsStreamAsTheStreamsShow) {
    const OutputFile file(screened_with(kGiven));
    const OutputFile input((fs::path(demo_project()).parent_path() / "parcels.gpkg").string());
    std::size_t measured = 0;
    for (const OutputRow& row :
         input.rows("SELECT apn FROM parcels WHERE source = 'shallow_well' AND stream_m IS NULL")) {
        const std::string id = text(row, "apn");
        const OutputRow parcel = file.rows("SELECT * FROM parcels WHERE parcel_id = '" + id + "'").at(0);
        if (const auto share = number(parcel, "source_share")) {
            EXPECT_EQ(text(parcel, "flags").find("assumed_share"), std::string::npos) << id;
            // No place of the demo is farther from its streams.
            EXPECT_GT(*share, stream_depletion_share(1500.0, 60.0, 0.12, 92.0)) << id;
            EXPECT_LT(*share, 1.0) << id;
            ++measured;
        }
    }
    EXPECT_GT(measured, 0U);
}

TEST_F(DemoWithStreams, AnExplanationRecomputesWhatDerivedStreamsSetAside) {
    const std::string file = screened_with(kDerived);
    const OutputFile output(file);
    Progress progress(ProgressStyle::none);
    for (const std::string& sql :
         {std::string(
              "SELECT roof_id FROM roofs WHERE no_pad_reason = 'stream_setback' OR reach_distance_m < 60 LIMIT 1"),
          std::string("SELECT roof_id FROM roofs WHERE status = 'ok' ORDER BY reach_distance_m DESC LIMIT 1")}) {
        Findings findings;
        ExplainRequest request;
        request.file = file;
        request.roof_id = output.text(sql);
        request.project = m_folder.file("streams.toml");
        ASSERT_FALSE(request.roof_id.empty());
        const ExplainedRoof roof = explain(request, findings, progress);
        EXPECT_TRUE(roof.differences.empty());
        EXPECT_GT(roof.values_compared, 100U);
    }
    Findings findings;
    ExplainRequest request;
    request.file = file;
    request.parcel_id = output.text("SELECT parcel_id FROM parcels WHERE rank = 1");
    request.project = m_folder.file("streams.toml");
    EXPECT_TRUE(explain_parcel(request, findings, progress).differences.empty());
}

TEST_F(DemoWithStreams, ADiversionSaysWhereTheOfferEnters) {
    const OutputFile plain(screened_with(kGiven));
    const std::string id = plain.text("SELECT parcel_id FROM parcels WHERE rank = 1");
    const auto lines = lines_of(plain);
    const std::string other = plain.text(
        "SELECT reach_id FROM reaches WHERE reach_id <> (SELECT reach_id FROM parcels WHERE rank = 1) LIMIT 1");
    Point place;
    for (const OutputRow& row : plain.rows("SELECT geom FROM reaches WHERE reach_id = '" + other + "'")) {
        const auto line = line_in(text(row, "geom"));
        place = line[line.size() / 2];
    }
    m_folder.write("diversions.csv", fmt::format("apn,x,y\n{},{:.3f},{:.3f}\n", id, place.x + 3.0, place.y));
    const OutputFile file(screened_with(kGiven, "[diversions]\nsource = \"diversions.csv\"\nparcel = \"apn\"\n"));
    const OutputRow row = file.rows("SELECT * FROM parcels WHERE parcel_id = '" + id + "'").at(0);
    EXPECT_EQ(text(row, "reach_id"), other);
    EXPECT_EQ(text(row, "reach_entry"), "diversion");
    EXPECT_LE(number(row, "reach_distance_m").value(), 3.001);
    expect_sums_agree(file);
}

}  // namespace
}  // namespace eaveshed
