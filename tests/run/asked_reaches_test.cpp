// method.md 8.11: the part of the streams that a list or a plan is asked for.
#include "eaveshed/offer/asked_reaches.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/expect_error.hpp"

namespace eaveshed {
namespace {

using ::testing::ElementsAre;

// R1 and R2 of Alder Run meet in R3 of Quill Water; R4, without a name, is an outlet of its own.
FileReaches streams() {
    FileReaches reaches;
    reaches.layer = true;
    const auto add = [&](const char* id, std::optional<std::string> creek) {
        ReachRow row;
        row.reach_id = id;
        row.creek = std::move(creek);
        reaches.numbers.emplace(id, static_cast<std::uint32_t>(reaches.rows.size()));
        reaches.rows.push_back(std::move(row));
    };
    add("R1", "Alder Run");
    add("R2", " alder run ");
    add("R3", "Quill Water");
    add("R4", std::nullopt);
    reaches.tree = ReachTree({2, 2, kNoReach, kNoReach});
    return reaches;
}

std::vector<std::uint32_t> held(const AskedReaches& asked) {
    const ReachFilter filter(streams(), asked, "basin.gpkg");
    std::vector<std::uint32_t> reaches;
    for (const std::uint32_t reach : {0U, 1U, 2U, 3U, kNoReach}) {
        if (filter.holds(reach)) {
            reaches.push_back(reach);
        }
    }
    return reaches;
}

TEST(ReachFilter, HoldsAReachWithAllThatFlowsIntoIt) {
    EXPECT_THAT(held({.reach = "R3"}), ElementsAre(0, 1, 2));
    EXPECT_THAT(held({.reach = "R1"}), ElementsAre(0));
    EXPECT_THAT(held({.reach = "R4"}), ElementsAre(3));
}

TEST(ReachFilter, HoldsTheReachesOfACreekWithoutWhatFlowsIntoThem) {
    EXPECT_THAT(held({.creek = "ALDER run"}), ElementsAre(0, 1));
    EXPECT_THAT(held({.creek = "Quill Water"}), ElementsAre(2));
    EXPECT_THAT(held({.reach = "R2", .creek = "Alder Run"}), ElementsAre(1));
}

TEST(ReachFilter, WithoutAWishHoldsWhatEntersNoReachToo) {
    EXPECT_THAT(held({}), ElementsAre(0, 1, 2, 3, kNoReach));
    EXPECT_EQ(ReachFilter(FileReaches{}, {}, "basin.gpkg").words(), "");
    EXPECT_EQ(asked_words(ReachFilter(streams(), {.reach = "R3"}, "basin.gpkg").words()), " at reach R3 and upstream");
}

TEST(ReachFilter, NamesTheNearestOfWhatIsNotThere) {
    const auto refused = [](const AskedReaches& asked, const FileReaches& of, const std::vector<std::string>& parts) {
        testing::expect_input_error([&] { static_cast<void>(ReachFilter(of, asked, "basin.gpkg")); }, parts);
    };
    refused({.reach = "R5"}, streams(), {"basin.gpkg", "no reach \"R5\"", "R1, R2, R3"});
    refused({.creek = "Quil Water"}, streams(), {"no creek \"Quil Water\"", "did you mean", "Quill Water"});
    refused({.reach = "R1", .creek = "Quill Water"}, streams(), {"reach R1", "are not on Quill Water"});
    refused({.reach = "R1"}, FileReaches{}, {"screen the basin again"});
    FileReaches none;
    none.layer = true;
    refused({.reach = "R1"}, none, {"streams.derive"});
}

}  // namespace
}  // namespace eaveshed
