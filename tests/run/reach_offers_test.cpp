// Lists and plans for a reach or a creek, of the demo basin with names and low flows put in.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <set>

#include "eaveshed/offer/call_list.hpp"
#include "eaveshed/offer/enrolment.hpp"
#include "eaveshed/offer/plan_reaches.hpp"
#include "run/run_project.hpp"
#include "support/edit_file.hpp"
#include "support/expect_error.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using testing::expect_input_error;
using ::testing::HasSubstr;
using ::testing::Not;
using testing::OutputFile;
using testing::TempFolder;

class OffersByReach : public ::testing::Test {
protected:
    static void SetUpTestSuite() {
        s_folder = new TempFolder;
        screened(demo_project(), file());
        // A reach in the middle: others flow into it, and it flows on.
        s_reach = OutputFile(file()).text(
            "SELECT reach_id FROM reaches WHERE open_total_lps > open_local_lps AND open_local_lps > 0 AND "
            "next_reach_id IS NOT NULL AND enrolled_total_lps > 0 ORDER BY open_total_lps LIMIT 1");
        s_head = OutputFile(file()).text("SELECT reach_id FROM reaches WHERE next_reach_id = '" + s_reach +
                                         "' AND open_local_lps > 0 LIMIT 1");
        testing::edit_file(
            file(), {"UPDATE reaches SET creek = CASE reach_id WHEN '" + s_head + "' THEN 'Small Creek' WHEN '" +
                         s_reach + "' THEN ' quill CREEK' ELSE 'Quill Creek' END, low_flow_lps = 0.5 + stream_order",
                     "UPDATE parcels SET low_flow_lps = (SELECT low_flow_lps FROM reaches WHERE reaches.reach_id = "
                     "parcels.reach_id)",
                     "UPDATE parcels SET low_flow_share = added_gain_lps / low_flow_lps"});
    }
    static void TearDownTestSuite() { delete s_folder; }
    static std::string file() { return s_folder->file("demo.gpkg"); }
    static std::string edited(const std::string& name, const std::vector<std::string>& statements) {
        std::filesystem::copy_file(file(), s_folder->file(name));
        testing::edit_file(s_folder->file(name), statements);
        return s_folder->file(name);
    }
    static CallList listed_of(const AskedReaches& reaches, const std::string& where = "",
                              const std::string& from = file()) {
        RankRequest request;
        request.file = from;
        request.draws = 0;
        request.reaches = reaches;
        request.where = where;
        Findings findings;
        return call_list(request, findings);
    }
    static Enrolment planned(const EnrolRequest& request) {
        Findings findings;
        return enrolment(request, findings);
    }
    static std::set<std::string> ids_of(const CallList& list) {
        std::set<std::string> ids;
        for (const ParcelRow& row : list.parcels) {
            ids.insert(row.parcel_id);
        }
        return ids;
    }
    // Told by SQL.
    static std::set<std::string> candidates_where(const std::string& condition) {
        std::set<std::string> ids;
        for (const auto& row : OutputFile(file()).rows("WITH RECURSIVE up(id) AS (VALUES('" + s_reach +
                                                       "') UNION SELECT reach_id FROM reaches JOIN up ON next_reach_id "
                                                       "= up.id) SELECT parcel_id FROM parcels WHERE rank IS NOT NULL "
                                                       "AND " +
                                                       condition)) {
            ids.insert(testing::text(row, "parcel_id"));
        }
        return ids;
    }
    // The sum of a member over the outlets.
    static double at_outlets(const Enrolment& found, const PlanReaches& plan, double PlanReach::*member) {
        double sum = 0.0;
        for (const std::uint32_t outlet : found.streams.tree.outlets()) {
            sum += plan.reaches[outlet].*member;
        }
        return sum;
    }
    static inline TempFolder* s_folder = nullptr;
    static inline std::string s_reach;
    static inline std::string s_head;
};

TEST_F(OffersByReach, AReachHasTheParcelsThatEnterItOrAReachUpstream) {
    const CallList all = listed_of({});
    const CallList list = listed_of({.reach = s_reach});
    EXPECT_EQ(ids_of(list), candidates_where("reach_id IN (SELECT id FROM up)"));
    EXPECT_LT(list.candidates, all.candidates);
    EXPECT_EQ(list.candidates + list.left_out, all.candidates + all.left_out);
    EXPECT_THAT(call_text(list, 5), AllOf(HasSubstr("Whom to call at reach " + s_reach + " and upstream"),
                                          HasSubstr("to ask at reach " + s_reach + " and upstream; ")));
    EXPECT_THAT(call_text(all, 5), Not(HasSubstr("upstream")));
}

TEST_F(OffersByReach, ACreekHasThoseOfTheReachesThatBearItsName) {
    EXPECT_EQ(ids_of(listed_of({.creek = "SMALL creek "})), candidates_where("reach_id = '" + s_head + "'"));
    const CallList quill = listed_of({.creek = "quill creek"});
    EXPECT_EQ(ids_of(quill), candidates_where("reach_id <> '" + s_head + "'"));
    EXPECT_THAT(call_text(quill, 5), HasSubstr("to ask on "));
    EXPECT_EQ(ids_of(listed_of({.reach = s_reach, .creek = "Small Creek"})), ids_of(listed_of({.reach = s_head})));
    EXPECT_EQ(ids_of(listed_of({.reach = s_reach}, "gravity_check = 'no'")),
              candidates_where("reach_id IN (SELECT id FROM up) AND gravity_check = 'no'"));
}

TEST_F(OffersByReach, WhatIsNotThereIsNamedWithTheNearest) {
    expect_input_error([&] { listed_of({.reach = s_reach + "x"}); },
                       {"demo.gpkg", "no reach \"" + s_reach + "x\"", "--reach"});
    expect_input_error([&] { listed_of({.creek = "Smal Creek"}); },
                       {"demo.gpkg", "no creek \"Smal Creek\"", "did you mean 'Small Creek'?"});
    expect_input_error(
        [&] { listed_of({.reach = s_head, .creek = "Quill Creek"}); },
        {"reach " + s_head + " and those upstream of it are not on Quill Creek", "leave --reach or --creek out"});
    const std::string nameless = edited("nameless.gpkg", {"UPDATE reaches SET creek = NULL"});
    expect_input_error([&] { listed_of({.creek = "Quill Creek"}, "", nameless); },
                       {"ask with --reach", "derived streams none"});
    const std::string idle =
        edited("idle.gpkg", {"UPDATE parcels SET reach_id = NULL WHERE reach_id = '" + s_head + "'"});
    const EnrolRequest small{.file = idle, .budget = 1e5, .target_lps = {}, .reaches = {.creek = "small creek"}};
    expect_input_error([&] { planned(small); }, {"no candidate's offer enters small creek", "the whole basin"});
    const std::string older = edited("older.gpkg", {"DROP TABLE reaches"});
    expect_input_error([&] { listed_of({.reach = s_reach}, "", older); },
                       {"older.gpkg", "no layer reaches", "--reach " + s_reach, "screen the basin again"});
    const std::string dry = edited("dry.gpkg", {"DELETE FROM reaches"});
    expect_input_error([&] { listed_of({.creek = "Quill"}, "", dry); }, {"no reaches", "[streams]"});
    expect_input_error([&] { planned({.file = dry, .budget = 1e5, .target_lps = {}, .reaches = {.reach = s_reach}}); },
                       {"dry.gpkg", "no reaches", "[streams]"});
    // Without asking for them neither matters, and the lists have no such columns.
    for (const std::string& from : {older, dry}) {
        for (const SheetColumn& column : call_table(listed_of({}, "", from)).columns) {
            EXPECT_NE(column.title, "Reach");
        }
        const EnrolRequest request{from, 1e5, std::nullopt};
        EXPECT_THAT(enrolment_text(planned(request), request), Not(HasSubstr("along the reaches")));
    }
}

TEST_F(OffersByReach, ListsNameReachAndCreekAndItsShare) {
    const Sheet calls = call_table(listed_of({.reach = s_reach}));
    std::size_t column = 0;
    while (calls.columns.at(column).title != "Reach") {
        ++column;
    }
    EXPECT_EQ(calls.columns[column + 1].title, "Creek");
    EXPECT_THAT(calls.columns[column + 2].title, HasSubstr("low flow (%)"));
    std::size_t unknown = 0;
    for (const auto& row : calls.rows) {
        const auto stored =
            OutputFile(file()).rows("SELECT reach_id, low_flow_share, flags FROM parcels WHERE parcel_id = '" +
                                    std::get<std::string>(row[1]) + "'");
        EXPECT_EQ(row[column], Value(testing::text(stored[0], "reach_id")));
        if (testing::text(stored[0], "flags").find("unknown_source") != std::string::npos) {
            EXPECT_EQ(row[column + 2], Value());  // a gain nobody knows is no share of 0
            ++unknown;
            continue;
        }
        const double share = 100.0 * testing::number(stored[0], "low_flow_share").value();
        EXPECT_NEAR(std::get<double>(row[column + 2]), share, 0.006 * share);
    }
    EXPECT_GT(unknown, 0U);
    EXPECT_LT(unknown, calls.rows.size());
    const EnrolRequest request{file(), 1e5, std::nullopt};
    const Enrolment found = planned(request);
    const Sheet plan = enrolment_table(found, request);
    const std::size_t reach = plan.columns.size() - 6;
    ASSERT_EQ(plan.columns.at(reach).title, "Reach");
    for (std::size_t i = 0; i < found.plan.chosen.size(); ++i) {
        const Offer& offer = found.offers[found.plan.chosen[i]];
        EXPECT_EQ(plan.rows[i].size(), plan.columns.size());
        EXPECT_EQ(plan.rows[i][reach], Value(found.streams.rows.at(offer.reach).reach_id));
    }
}

TEST_F(OffersByReach, TheWeightOfTheLowFlowRanksByTheShare) {
    RankRequest request;
    request.file = file();
    request.draws = 0;
    request.weights = {
        {"stream_gain", 0.0}, {"low_flow_share", 1.0}, {"gravity", 0.0}, {"cost", 0.0}, {"reliability", 0.0}};
    Findings findings;
    std::vector<ParcelRow> rows = call_list(request, findings).parcels;
    std::ranges::sort(rows, {}, &ParcelRow::rank);
    ASSERT_GT(rows.size(), 50U);
    EXPECT_GT(rows.front().low_flow_share.value(), 0.0);
    for (std::size_t i = 1; i < rows.size(); ++i) {
        EXPECT_GE(rows[i - 1].low_flow_share.value(), rows[i].low_flow_share.value());
    }
}

TEST_F(OffersByReach, GainsComeTogetherAtTheOutletsAndNoneIsLost) {
    // Some enter no reach, enrolled ones among them.
    const std::string copy =
        edited("lost.gpkg", {"UPDATE parcels SET reach_id = NULL WHERE fid % 5 = 0 OR (contact_status = 'enrolled' AND "
                             "instream_gain_lps = (SELECT MAX(instream_gain_lps) FROM parcels WHERE contact_status = "
                             "'enrolled'))"});
    for (const std::string& from : {file(), copy}) {
        for (const double budget : {0.0, 3e4, 2e5, 1e9}) {
            const Enrolment found = planned({from, budget, std::nullopt});
            const PlanReaches plan = plan_reaches(found);
            EXPECT_NEAR(plan.added_lps + plan.enrolled_lps, found.plan.gain, 1e-7);
            EXPECT_NEAR(at_outlets(found, plan, &PlanReach::with_plan_lps) + plan.no_reach_lps, found.plan.gain, 1e-7);
            EXPECT_EQ(plan.no_reach_lps > 0.0, from == copy);
            double local = 0.0;
            for (std::size_t i = 0; i < plan.reaches.size(); ++i) {
                const PlanReach& reach = plan.reaches[i];
                local += reach.added_local_lps;
                EXPECT_DOUBLE_EQ(reach.with_plan_lps, reach.enrolled_total_lps + reach.added_total_lps);
                EXPECT_DOUBLE_EQ(reach.share.value(), reach.with_plan_lps / found.streams.rows[i].low_flow_lps.value());
                if (const std::uint32_t next = found.streams.tree.next(i); next != kNoReach) {
                    EXPECT_GE(plan.reaches[next].with_plan_lps, reach.with_plan_lps);
                }
            }
            EXPECT_NEAR(local, at_outlets(found, plan, &PlanReach::added_total_lps), 1e-9);
        }
    }
}

TEST_F(OffersByReach, WithoutAPlanItIsWhatTheLayerSaysOfThoseEnrolled) {
    const Enrolment found = planned({file(), 0.0, std::nullopt});
    const PlanReaches plan = plan_reaches(found);
    const auto stored = OutputFile(file()).rows("SELECT enrolled_total_lps FROM reaches ORDER BY fid");
    ASSERT_GT(stored.size(), 0U);
    ASSERT_EQ(stored.size(), plan.reaches.size());
    for (std::size_t i = 0; i < stored.size(); ++i) {
        EXPECT_NEAR(plan.reaches.at(i).with_plan_lps, testing::number(stored[i], "enrolled_total_lps").value(), 1e-12);
    }
}

TEST_F(OffersByReach, ATargetHoldsAtItsReach) {
    const Enrolment most = planned({.file = file(), .budget = 1e9, .target_lps = {}, .reaches = {.reach = s_reach}});
    const double target = 0.5 * (most.enrolled_gain + most.plan.gain);
    const EnrolRequest request{.file = file(), .budget = {}, .target_lps = target, .reaches = {.reach = s_reach}};
    const Enrolment found = planned(request);
    const std::uint32_t reach = found.streams.number(s_reach);
    EXPECT_TRUE(found.plan.reached);
    EXPECT_GE(found.plan.gain, target);
    EXPECT_NEAR(plan_reaches(found).reaches[reach].with_plan_lps, found.plan.gain, 1e-7);
    const OutputFile output(file());
    const std::string enrolled =
        output.text("SELECT enrolled_total_lps FROM reaches WHERE reach_id = '" + s_reach + "'");
    EXPECT_NEAR(found.enrolled_gain, std::stod(enrolled), 1e-9);
    EXPECT_GT(found.enrolled_gain, 0.0);
    EXPECT_LT(found.enrolled, found.present.size());  // others stand elsewhere
    for (const Offer& offer : found.offers) {
        EXPECT_TRUE(std::ranges::binary_search(found.streams.tree.upstream_of(reach), offer.reach));
    }
    EXPECT_THAT(enrolment_text(found, request), AllOf(HasSubstr(" at reach " + s_reach + " and upstream, any size"),
                                                      HasSubstr("enrolled already there")));
    EnrolRequest beyond = request;
    beyond.target_lps = 100.0;
    EXPECT_THAT(enrolment_text(planned(beyond), beyond), HasSubstr("out of reach"));
    EnrolRequest nobody = request;
    nobody.where = "parcel_id = 'nobody'";
    expect_input_error([&] { planned(nobody); },
                       {"nobody", "no candidate's offer enters reach " + s_reach + " or one upstream of it"});
}

TEST_F(OffersByReach, TheTextShowsOutletsFirstAndTheTableEveryReach) {
    const EnrolRequest request{file(), 1e5, std::nullopt};
    const Enrolment found = planned(request);
    const std::string text = plan_reaches_text(found);
    const std::string outlet = found.streams.rows[found.streams.tree.outlets().front()].reach_id;
    const auto line_of = [&](const std::string& reach) { return text.find("\n  " + reach + " "); };
    for (const std::string& shown : {outlet, s_reach, s_head}) {
        ASSERT_NE(line_of(shown), std::string::npos) << shown;
    }
    EXPECT_LT(line_of(outlet), line_of(s_reach));
    EXPECT_LT(line_of(s_reach), line_of(s_head));
    EXPECT_THAT(text, HasSubstr("that enter no reach"));
    const Sheet table = plan_reaches_table(found);
    ASSERT_EQ(table.rows.size(), found.streams.rows.size());
    EXPECT_EQ(table.columns.front().title, "reach_id");
    for (const auto& row : table.rows) {
        EXPECT_EQ(row.size(), table.columns.size());
    }
    // A volume's plan leaves a gain too.
    EnrolRequest volume = request;
    volume.wanted = PlanFor::volume;
    EXPECT_GT(plan_reaches(planned(volume)).added_lps, 0.0);
}

}  // namespace
}  // namespace eaveshed
