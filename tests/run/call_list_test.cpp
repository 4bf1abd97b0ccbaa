#include "eaveshed/offer/call_list.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "eaveshed/result/recorded_run.hpp"
#include "run/run_project.hpp"
#include "support/edit_file.hpp"
#include "support/expect_error.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::Not;
using testing::OutputFile;
using testing::TempFolder;

class CallListOfTheDemo : public ::testing::Test {
protected:
    static void SetUpTestSuite() {
        s_folder = new TempFolder;
        screened(demo_project(), file());
    }
    static void TearDownTestSuite() { delete s_folder; }
    static std::string file() { return s_folder->file("demo.gpkg"); }
    static RankRequest request() {
        RankRequest asked;
        asked.file = file();
        asked.project = demo_project();
        return asked;
    }
    static CallList list(const RankRequest& asked) {
        Findings findings;
        return call_list(asked, findings);
    }
    static inline TempFolder* s_folder = nullptr;
};

TEST_F(CallListOfTheDemo, WithoutChangesIsTheRankingOfTheFile) {
    const CallList found = list(request());
    const auto stored = OutputFile(file()).rows("SELECT * FROM parcels WHERE rank IS NOT NULL ORDER BY rank");
    ASSERT_EQ(found.parcels.size(), stored.size());
    EXPECT_EQ(found.candidates, stored.size());
    std::map<std::int64_t, const ParcelRow*> by_rank;
    for (const ParcelRow& row : found.parcels) {
        by_rank[row.rank.value()] = &row;
    }
    for (std::size_t i = 0; i < stored.size(); ++i) {
        const ParcelRow& row = *by_rank.at(static_cast<std::int64_t>(i) + 1);
        EXPECT_EQ(row.parcel_id, testing::text(stored[i], "parcel_id"));
        EXPECT_EQ(row.score, testing::number(stored[i], "score"));
        EXPECT_EQ(row.rank_stability, testing::number(stored[i], "rank_stability"));
        EXPECT_EQ(to_text(row.flags), testing::text(stored[i], "flags"));
        EXPECT_EQ(row.ask_first.value_or(""), testing::text(stored[i], "ask_first"));
    }
}

TEST_F(CallListOfTheDemo, DoubledWeightsChangeNothingAndOthersDo) {
    RankRequest asked = request();
    asked.draws = 0;
    const CallList before = list(asked);
    asked.weights = {
        {"stream_gain", 0.70}, {"low_flow_share", 0.30}, {"gravity", 0.40}, {"cost", 0.40}, {"reliability", 0.20}};
    const CallList doubled = list(asked);
    asked.weights = {{"stream_gain", 0.0}, {"gravity", 1.0}, {"reliability", 0.0}};
    const CallList other = list(asked);
    ASSERT_EQ(before.parcels.size(), doubled.parcels.size());
    bool differs = false;
    for (std::size_t i = 0; i < before.parcels.size(); ++i) {
        EXPECT_EQ(before.parcels[i].parcel_id, doubled.parcels[i].parcel_id);
        EXPECT_NEAR(before.parcels[i].score.value(), doubled.parcels[i].score.value(), 1e-12);
        differs = differs || before.parcels[i].parcel_id != other.parcels[i].parcel_id;
    }
    EXPECT_TRUE(differs);
}

TEST_F(CallListOfTheDemo, AFilterTakesAwayAndReordersNothing) {
    RankRequest asked = request();
    asked.draws = 0;
    const CallList all = list(asked);
    asked.where = "delivery = 'low_pressure' AND forbearance_m3 > 20";
    const CallList some = list(asked);
    ASSERT_GT(some.parcels.size(), 2U);
    ASSERT_LT(some.parcels.size(), all.parcels.size());
    std::map<std::string, double> score;
    for (const ParcelRow& row : all.parcels) {
        score[row.parcel_id] = row.score.value();
    }
    for (const ParcelRow& row : some.parcels) {
        EXPECT_EQ(row.delivery, Delivery::low_pressure);
        EXPECT_EQ(row.score, score.at(row.parcel_id));
    }
    EXPECT_EQ(some.candidates + some.left_out, all.candidates + all.left_out);
}

TEST_F(CallListOfTheDemo, TheTopIsTheFirstOfTheRanking) {
    RankRequest asked = request();
    asked.draws = 0;
    asked.top = 5;
    const CallList found = list(asked);
    std::vector<std::int64_t> ranks;
    for (const ParcelRow& row : found.parcels) {
        ranks.push_back(row.rank.value());
    }
    EXPECT_THAT(ranks, ::testing::UnorderedElementsAre(1, 2, 3, 4, 5));
}

TEST_F(CallListOfTheDemo, ParcelsOfOneOwnerAreOneCall) {
    RankRequest asked = request();
    asked.draws = 0;
    const CallList found = list(asked);
    std::map<std::int64_t, std::size_t> last_seen;
    std::size_t several = 0;
    for (std::size_t i = 0; i < found.parcels.size(); ++i) {
        const auto& owner = found.parcels[i].owner_group;
        if (owner && last_seen.contains(*owner)) {
            EXPECT_EQ(last_seen[*owner] + 1, i);  // together
            ++several;
        }
        if (owner) {
            last_seen[*owner] = i;
        }
    }
    EXPECT_GT(several, 0U);
}

TEST_F(CallListOfTheDemo, ContactsComeFromTheParcelsAndNotFromTheFile) {
    RankRequest asked = request();
    asked.draws = 0;
    EXPECT_TRUE(list(asked).contacts.names.empty());
    asked.lists.csv = s_folder->file("calls.csv");
    const CallList found = list(asked);
    EXPECT_THAT(found.contacts.names, ElementsAre("owner", "phone"));
    const OutputFile source(std::string(EAVESHED_SOURCE_DIR) + "/testdata/demo/parcels.gpkg");
    for (std::size_t i = 0; i < found.parcels.size(); i += 7) {
        EXPECT_EQ(found.contacts.entries[i][0],
                  source.text("SELECT owner FROM parcels WHERE apn = '" + found.parcels[i].parcel_id + "'"));
    }
    const Sheet table = call_table(found);
    EXPECT_EQ(table.columns[2].title, "owner");
    for (const auto& row : table.rows) {
        EXPECT_EQ(row.size(), table.columns.size());
    }
    EXPECT_THAT(call_text(found, 1000), Not(HasSubstr(found.contacts.entries[0][0])));
}

TEST_F(CallListOfTheDemo, ExpressionsAreOneExpression) {
    RankRequest asked = request();
    asked.draws = 0;
    for (const char* const bad :
         {"nocol > 1", "1) UNION SELECT (1", "1; DELETE FROM parcels", "1 -- x", "/* */ 1", "forbearance_m3 >",
          "parcel_id IN (SELECT parcel_id FROM roofs)", "parcel_id IN roofs", "1 ORDER BY rank", "1 LIMIT 2",
          "random() > 0", "load_extension('x')",
          "1 < (WITH RECURSIVE r(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM r) SELECT max(n) FROM r)"}) {
        asked.where = bad;
        testing::expect_error([&] { list(asked); }, Fault::input, {"--where"});
    }
    asked.where = "gravity_chek = 'yes'";
    testing::expect_error([&] { list(asked); }, Fault::input, {"--where", "did you mean 'gravity_check'?"});
    asked.where = "delivery = \"gravity\"";
    testing::expect_error([&] { list(asked); }, Fault::input, {"text values stand between single quotes"});
}

// Of values that an edited file may hold.
TEST_F(CallListOfTheDemo, AnExpressionThatFailsAtARowIsToldAsThat) {
    const std::string copy = s_folder->file("least.gpkg");
    std::filesystem::copy_file(file(), copy);
    testing::edit_file(copy, {"UPDATE parcels SET rank = -9223372036854775808 WHERE rank = 3"});
    RankRequest asked = request();
    asked.file = copy;
    asked.draws = 0;
    asked.where = "abs(rank) > 0";
    testing::expect_error([&] { list(asked); }, Fault::input, {"--where", "abs(rank) > 0", "overflow"});
}

TEST_F(CallListOfTheDemo, UnknownWeightsAreToldWithTheNearest) {
    RankRequest asked = request();
    asked.weights = {{"gravty", 1.0}};
    testing::expect_error([&] { list(asked); }, Fault::input, {"gravty", "did you mean 'gravity'"});
    asked.weights = {{"gravity", -1.0}};
    testing::expect_error([&] { list(asked); }, Fault::input, {"--weight gravity"});
}

TEST_F(CallListOfTheDemo, ValuesOfAnEditedFileAreNotTrusted) {
    const std::string copy = s_folder->file("edited.gpkg");
    std::filesystem::copy_file(file(), copy);
    testing::edit_file(copy, {"UPDATE parcels SET delivery = 'by boat', rank = -1.5 WHERE rank = 1"});
    RankRequest asked = request();
    asked.file = copy;
    asked.draws = 0;
    EXPECT_EQ(list(asked).candidates + 1, list(request()).candidates);
    testing::edit_file(copy, {"UPDATE parcels SET forbearance_m3 = 'much' WHERE rank = 2"});
    testing::expect_input_error([&] { static_cast<void>(list(asked)); },
                                {copy, "table parcels", "column forbearance_m3", "\"much\""});
}

// A list is the next run's status: whoever said no before must still stand in it.
TEST_F(CallListOfTheDemo, WhoeverIsNotOnTheListAndHasAStatusStandsAtItsEnd) {
    const std::string copy = s_folder->file("talks.gpkg");
    std::filesystem::copy_file(file(), copy);
    testing::edit_file(copy, {"UPDATE parcels SET contact_status = 'visited' WHERE rank = 7",
                              "UPDATE parcels SET contact_status = 'interested' WHERE rank = 2"});
    RankRequest asked = request();
    asked.file = copy;
    asked.draws = 0;
    asked.top = 5;
    asked.where = "rank < 100";
    asked.lists.csv = s_folder->file("talks.csv");
    const CallList found = list(asked);
    const Sheet table = call_table(found);
    const auto column = [&](std::string_view title) {
        return static_cast<std::size_t>(std::ranges::find(table.columns, title, &SheetColumn::title) -
                                        table.columns.begin());
    };
    std::map<std::string, std::string> statuses;
    for (const auto& cells : table.rows) {
        const std::string status = std::get<std::string>(cells.at(column("Status")));
        const std::string parcel = std::get<std::string>(cells.at(column("Parcel id")));
        EXPECT_TRUE(statuses.emplace(parcel, status).second) << parcel;
        if (statuses.size() > 5) {
            EXPECT_NE(status, "candidate");
            EXPECT_EQ(cells.at(column("Rank")), Value());
            EXPECT_EQ(cells.at(column("phone")), Value());
        }
    }
    EXPECT_EQ(table.rows.size(), found.parcels.size() + found.kept.size());
    for (const testing::OutputRow& row :
         OutputFile(copy).rows("SELECT parcel_id, contact_status FROM parcels WHERE contact_status <> 'candidate'")) {
        EXPECT_EQ(statuses[testing::text(row, "parcel_id")], testing::text(row, "contact_status"));
    }
}

// A comma in a heading and semicolons between the columns are one column to the reader.
TEST_F(CallListOfTheDemo, NoHeadingHoldsAComma) {
    CallList made = list(request());
    for (const OutputUnits units : {OutputUnits::si, OutputUnits::us}) {
        made.settings.output.units = units;
        for (const SheetColumn& column : call_table(made).columns) {
            EXPECT_EQ(column.title.find(','), std::string::npos) << column.title;
        }
    }
}

// A file of before the added volumes: nobody would be a candidate, in silence.
TEST_F(CallListOfTheDemo, AFileWithoutWhatIsAddedIsToBeScreenedAgain) {
    const std::string copy = s_folder->file("older.gpkg");
    std::filesystem::copy_file(file(), copy);
    testing::edit_file(copy, {"ALTER TABLE parcels DROP COLUMN added_gain_lps"});
    RankRequest asked = request();
    asked.file = copy;
    testing::expect_input_error([&] { list(asked); }, {"older.gpkg", "no column added_gain_lps", "screen"});
}

// Where the pad is, and nowhere without one.
TEST_F(CallListOfTheDemo, SaysWhereEachPadIs) {
    RankRequest asked = request();
    asked.draws = 0;
    TempFolder folder;
    asked.lists.csv = folder.file("calls.csv");
    CallList found = list(asked);
    const auto column = [](const Sheet& table, const std::string& title) {
        const auto at = std::ranges::find(table.columns, title, &SheetColumn::title);
        EXPECT_NE(at, table.columns.end()) << title;
        return static_cast<std::size_t>(at - table.columns.begin());
    };
    Sheet table = call_table(found);
    const std::size_t longitude = column(table, "Longitude");
    const std::size_t latitude = column(table, "Latitude");
    const auto pads = OutputFile(file()).count("SELECT COUNT(*) FROM pads WHERE level = 'parcel'");
    EXPECT_EQ(found.pads.size(), static_cast<std::size_t>(pads));
    ASSERT_GE(table.rows.size(), found.parcels.size());
    for (std::size_t i = 0; i < found.parcels.size(); ++i) {
        const Degrees& pad = found.pads.at(found.parcels[i].parcel_id);
        EXPECT_EQ(table.rows[i][longitude], Value(pad.longitude_deg));
        EXPECT_EQ(table.rows[i][latitude], Value(pad.latitude_deg));
        EXPECT_DOUBLE_EQ(pad.latitude_deg, std::round(pad.latitude_deg * 1e6) / 1e6);
    }
    found.pads.erase(found.parcels.front().parcel_id);
    table = call_table(found);
    EXPECT_EQ(table.rows[0][longitude], Value());
    EXPECT_EQ(table.rows[0][latitude], Value());
}

}  // namespace
}  // namespace eaveshed
