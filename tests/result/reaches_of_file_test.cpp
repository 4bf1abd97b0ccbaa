#include "eaveshed/result/reaches_of_file.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "result/little_result.hpp"
#include "support/expect_error.hpp"

namespace eaveshed {
namespace {

using testing::little_result;
using testing::TempFolder;

constexpr const char* kReaches =
    "CREATE TABLE reaches (fid INTEGER PRIMARY KEY, reach_id TEXT, next_reach_id TEXT, creek TEXT, low_flow_lps REAL)";

FileReaches reaches_with(const std::vector<std::string>& statements) {
    const TempFolder folder;
    Findings findings;
    const std::string path = little_result(folder, statements);
    return reaches_of_file(ResultReader(path, findings), path);
}

TEST(ReachesOfFile, AreTheTreeOfTheLayer) {
    const FileReaches reaches =
        reaches_with({kReaches,
                      "INSERT INTO reaches VALUES (1, 'out', NULL, 'Quill', 3.5), (2, 'b', 'out', NULL, NULL), "
                      "(3, 'a', 'b', ' quill ', 0.5), (4, 'edge', 'elsewhere', '', 1)"});
    ASSERT_EQ(reaches.rows.size(), 4U);
    EXPECT_TRUE(reaches.layer);
    EXPECT_THAT(reaches.tree.upstream_of(reaches.number("out")), ::testing::ElementsAre(0, 1, 2));
    EXPECT_THAT(reaches.tree.outlets(), ::testing::ElementsAre(0, 3));  // what leads out of the layer ends there
    EXPECT_EQ(reaches.rows[2].low_flow_lps, 0.5);
    EXPECT_EQ(reaches.number("c"), kNoReach);
    EXPECT_EQ(reaches.number(std::nullopt), kNoReach);
}

TEST(ReachesOfFile, WithoutTheLayerOrRowsThereAreNone) {
    EXPECT_FALSE(reaches_with({}).layer);
    const FileReaches none = reaches_with({kReaches});
    EXPECT_TRUE(none.layer);
    EXPECT_TRUE(none.empty());
}

TEST(ReachesOfFile, WhatNoScreeningWritesIsAnInputError) {
    testing::expect_input_error(
        [] {
            reaches_with({kReaches,
                          "INSERT INTO reaches (reach_id, next_reach_id) VALUES ('x', 'a'), ('a', 'b'), "
                          "('b', 'a')"});
        },
        {"result.gpkg", "in a circle", "screen the basin again"});
    testing::expect_input_error(
        [] {
            reaches_with({kReaches, "INSERT INTO reaches (reach_id) VALUES ('a'), ('a')"});
        },
        {"result.gpkg", "two reaches \"a\""});
}

TEST(CreekKey, CaseAndBlanksAroundANameCountNothing) {
    EXPECT_EQ(creek_key("  Quill Creek\t"), creek_key("QUILL creek"));
    EXPECT_NE(creek_key("Quill Creek"), creek_key("QuillCreek"));
    EXPECT_EQ(creek_key("  "), "");
}

}  // namespace
}  // namespace eaveshed
