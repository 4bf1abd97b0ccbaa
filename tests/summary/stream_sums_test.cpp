// The sums of a hand-made file, by creek and by sub-basin.
#include "eaveshed/summary/stream_sums.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <map>

#include "result/little_result.hpp"

namespace eaveshed {
namespace {

// Quill Creek (q1 -> q2, the outlet) takes up the Ash (a1) above q2, and a stream without a name (n1). Another without
// one (n2) has an outlet of its own.
const std::vector<std::string>& basin() {
    static const std::vector<std::string> statements{
        "CREATE TABLE reaches (fid INTEGER PRIMARY KEY, reach_id TEXT, next_reach_id TEXT, creek TEXT, low_flow_lps "
        "REAL)",
        "INSERT INTO reaches VALUES (1, 'q1', 'q2', 'Quill Creek', 1), (2, 'q2', NULL, 'quill creek ', 4), "
        "(3, 'a1', 'q2', 'Ash', 0.5), (4, 'n1', 'q2', NULL, NULL), (5, 'n2', NULL, NULL, 0)",
        "CREATE TABLE parcels (fid INTEGER PRIMARY KEY, contact_status TEXT, delivery TEXT, added_forbearance_m3 REAL, "
        "added_gain_lps REAL, reach_id TEXT, subbasin_id TEXT, flags TEXT)",
        "INSERT INTO parcels (contact_status, delivery, added_forbearance_m3, added_gain_lps, reach_id) VALUES "
        "('candidate', 'gravity', 10, 0.1, 'q1'), ('visited', 'gravity', 5, 0.05, 'q2'), "
        "('candidate', 'pumped_fill', 20, 0.25, 'a1'), ('candidate', 'gravity', 3, 0, 'n1'), "
        "('candidate', 'gravity', 1, 0.01, 'n2'), ('candidate', 'gravity', 99, 9, NULL), "
        "('enrolled', 'gravity', 50, 0.5, 'a1'), ('candidate', 'no_pad', 50, 0.5, 'a1'), "
        "('candidate', 'gravity', 0, 0, 'a1')"};
    return statements;
}

StreamSums sums_of(std::vector<std::string> more = {}, const Settings& settings = {}) {
    const testing::TempFolder folder;
    std::vector<std::string> statements = basin();
    statements.insert(statements.end(), more.begin(), more.end());
    Findings findings;
    const std::string path = testing::little_result(folder, statements);
    return stream_sums(ResultReader(path, findings), path, settings);
}

TEST(StreamSums, ACreekIsWhatBearsItsNameAndItsEndHasWhatComesFromUpstream) {
    const StreamSums sums = sums_of();
    ASSERT_EQ(sums.creeks.size(), 4U);
    const PartSum& ash = sums.creeks[0];  // the most gain first
    EXPECT_EQ(ash.name, "Ash");
    EXPECT_EQ(ash.sum.number, 1U);  // those enrolled, without a place or without use are none
    EXPECT_DOUBLE_EQ(*ash.low_flow_share, 0.5);
    const PartSum& quill = sums.creeks[1];
    EXPECT_EQ(quill.name, "Quill Creek");
    EXPECT_EQ(quill.sum.number, 2U);
    EXPECT_DOUBLE_EQ(quill.sum.added_forbearance_m3, 15.0);
    EXPECT_DOUBLE_EQ(quill.sum.added_gain_lps, 0.1 + 0.05);
    EXPECT_EQ(quill.end_reach_id, "q2");
    EXPECT_DOUBLE_EQ(*quill.end_gain_lps, 0.4);
    EXPECT_DOUBLE_EQ(*quill.low_flow_share, 0.1);
}

TEST(StreamSums, ReachesWithoutANameStandUnderTheirOutlet) {
    const StreamSums sums = sums_of();
    EXPECT_EQ(sums.creeks[2].name, "");
    EXPECT_EQ(sums.creeks[2].outlet_reach_id, "n2");
    EXPECT_FALSE(sums.creeks[2].low_flow_share);  // a low flow of 0 has no share
    EXPECT_EQ(sums.creeks[3].outlet_reach_id, "q2");
    EXPECT_EQ(sums.creeks[3].end_reach_id, "n1");
    EXPECT_FALSE(sums.creeks[3].low_flow_share);
}

TEST(StreamSums, PiecesOfACreekThatDoNotComeTogetherInItHaveNoEnd) {
    const StreamSums sums = sums_of({"UPDATE reaches SET creek = 'Ash' WHERE reach_id IN ('n1', 'n2')"});
    ASSERT_EQ(sums.creeks.size(), 2U);
    EXPECT_EQ(sums.creeks[0].name, "Ash");
    EXPECT_EQ(sums.creeks[0].sum.number, 3U);
    EXPECT_EQ(sums.creeks[0].end_reach_id, "");
    EXPECT_FALSE(sums.creeks[0].end_gain_lps);
    // One piece that flows into another through a third reach does.
    const StreamSums through = sums_of({"UPDATE reaches SET creek = 'Ash', next_reach_id = 'n1' WHERE reach_id = 'a1'",
                                        "UPDATE reaches SET creek = 'Ash' WHERE reach_id = 'q2'"});
    EXPECT_EQ(through.creeks[0].end_reach_id, "q2");
}

TEST(StreamSums, OfUnknownSourceNothingIsKnownAndIsNoZero) {
    const StreamSums sums =
        sums_of({"UPDATE parcels SET added_gain_lps = 0, flags = 'unknown_source' WHERE reach_id = "
                 "'a1'",
                 "UPDATE parcels SET added_gain_lps = 0, flags = 'default_eave,unknown_source' "
                 "WHERE reach_id = 'q1'"});
    ASSERT_EQ(sums.creeks.size(), 4U);
    const PartSum& quill = sums.creeks[0];
    EXPECT_EQ(quill.sum.unknown_source, 1U);
    EXPECT_DOUBLE_EQ(quill.sum.known_gain_lps().value(), 0.05);
    EXPECT_DOUBLE_EQ(quill.end_gain_lps.value(), 0.05);
    const PartSum& ash = sums.creeks[2];
    EXPECT_EQ(ash.name, "Ash");
    EXPECT_EQ(ash.sum.unknown_source, 1U);
    EXPECT_EQ(ash.sum.known_gain_lps(), std::nullopt);
    EXPECT_EQ(ash.end_reach_id, "a1");
    EXPECT_EQ(ash.end_gain_lps, std::nullopt);
    EXPECT_EQ(ash.low_flow_share, std::nullopt);
    EXPECT_EQ(sums.creeks[3].sum.known_gain_lps(), 0.0);  // of a known source that the creek does not feel
    EXPECT_EQ(CandidateSum{}.known_gain_lps(), 0.0);
}

TEST(StreamSums, SubbasinsAreThoseOfTheLayerAndCatchmentsHaveTheirReach) {
    const std::vector<std::string> layer{
        "CREATE TABLE subbasins (fid INTEGER PRIMARY KEY, subbasin_id TEXT)",
        "INSERT INTO subbasins VALUES (1, 'q1'), (2, 'q2'), (3, 'q2'), (4, 'none')",
        "UPDATE parcels SET subbasin_id = reach_id WHERE reach_id IN ('q1', 'q2')",
        "UPDATE parcels SET subbasin_id = 'q2', flags = 'unknown_source' WHERE reach_id = 'n1'"};
    const StreamSums catchments = sums_of(layer);
    ASSERT_EQ(catchments.subbasins.size(), 3U);  // a name that stands twice is one
    EXPECT_EQ(catchments.subbasins[0].name, "q1");
    const PartSum& q2 = catchments.subbasins[1];
    EXPECT_EQ(q2.sum.number, 2U);
    EXPECT_EQ(q2.sum.unknown_source, 1U);
    EXPECT_DOUBLE_EQ(q2.sum.added_forbearance_m3, 8.0);
    EXPECT_DOUBLE_EQ(*q2.low_flow_share, 0.1);
    EXPECT_EQ(catchments.subbasins[2].sum.number, 0U);
    Settings given;
    given.subbasins.from.source = "parts.gpkg";  // an id that is a reach's by chance
    EXPECT_FALSE(sums_of(layer, given).subbasins[1].low_flow_share);
}

TEST(StreamSums, PartsAddUpWithWhatIsInNone) {
    const StreamSums sums = sums_of({"CREATE TABLE subbasins (fid INTEGER PRIMARY KEY, subbasin_id TEXT)",
                                     "INSERT INTO subbasins VALUES (1, 'q1')",
                                     "UPDATE parcels SET subbasin_id = reach_id WHERE reach_id = 'q1'"});
    ASSERT_TRUE(sums.no_reach && sums.no_subbasin);
    EXPECT_EQ(sums.no_reach->number, 1U);
    EXPECT_DOUBLE_EQ(sums.no_reach->added_forbearance_m3, 99.0);
    std::uint64_t number = sums.no_reach->number;
    for (const PartSum& creek : sums.creeks) {
        number += creek.sum.number;
    }
    EXPECT_EQ(number, 6U);
    EXPECT_EQ(sums.no_subbasin->number + sums.subbasins[0].sum.number, 6U);
    EXPECT_FALSE(sums_of().no_subbasin);  // without the layer nothing is outside it
}

// Two names by turns in one long chain, and a third creek of its first and last reach alone.
TEST(StreamSums, ALongChainIsPassedOnce) {
    const StreamSums sums = sums_of(
        {"DELETE FROM reaches",
         "WITH RECURSIVE n(i) AS (VALUES (1) UNION ALL SELECT i + 1 FROM n WHERE i < 100000) INSERT INTO reaches "
         "SELECT i, 'R' || i, CASE WHEN i < 100000 THEN 'R' || (i + 1) END, CASE WHEN i IN (1, 100000) THEN 'Third' "
         "WHEN i % 3 = 0 THEN NULL WHEN i % 2 = 1 THEN 'Odd' ELSE 'Even' END, NULL FROM n",
         "UPDATE parcels SET reach_id = 'R50000' WHERE reach_id = 'a1'"});
    ASSERT_EQ(sums.creeks.size(), 4U);
    std::map<std::string, std::string> ends;
    for (const PartSum& creek : sums.creeks) {
        ends[creek.name] = creek.end_reach_id;
        EXPECT_EQ(creek.outlet_reach_id, "R100000");
        EXPECT_DOUBLE_EQ(creek.end_gain_lps.value(), 0.25);
    }
    EXPECT_EQ(ends, (std::map<std::string, std::string>{
                        {"", "R99999"}, {"Even", "R99998"}, {"Odd", "R99997"}, {"Third", "R100000"}}));
}

TEST(StreamSums, AColumnThatTheFileLacksIsNoError) {
    const StreamSums sums = sums_of({"ALTER TABLE parcels DROP COLUMN added_gain_lps"});
    ASSERT_EQ(sums.creeks.size(), 4U);
    EXPECT_EQ(sums.creeks[0].name, "Ash");
    EXPECT_DOUBLE_EQ(sums.creeks[0].sum.added_forbearance_m3, 20.0);
    EXPECT_DOUBLE_EQ(sums.creeks[0].sum.added_gain_lps, 0.0);
}

TEST(StreamSums, AFileWithoutLayersHasNone) {
    const StreamSums sums = sums_of({"DROP TABLE reaches"});
    EXPECT_TRUE(sums.creeks.empty());
    EXPECT_TRUE(sums.subbasins.empty());
}

}  // namespace
}  // namespace eaveshed
