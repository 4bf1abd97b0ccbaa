// The ranking as `screen` and `rank` use it; the rules themselves are tested in rank.
#include "eaveshed/ranking/ranking.hpp"

#include <gtest/gtest.h>

#include "eaveshed/record/values.hpp"

namespace eaveshed {
namespace {

ParcelRow parcel(const std::string& id, double gain_lps, double gravity) {
    ParcelRow row;
    row.parcel_id = id;
    row.parcel_status = ParcelStatus::ok;
    row.forbearance_m3 = 40.0;
    row.added_forbearance_m3 = 40.0;
    row.instream_gain_lps = gain_lps;
    row.added_gain_lps = gain_lps;
    row.delivery = Delivery::low_pressure;
    row.usable_m3 = 50.0;
    row.harvest_dependable_m3 = 60.0;
    row.demand_m3 = 45.0;
    row.source_share = 1.0;
    row.gravity_probability = gravity;
    row.season_reliability = 0.9;
    row.fill_margin_m = 0.4;
    row.pressure_kpa = 20.0;
    row.eave_sd_m = 0.3;
    row.pad_sd_m = 0.2;
    return row;
}

std::vector<ParcelRow> ranked(std::vector<ParcelRow> rows, const Settings& settings = {}, unsigned threads = 1) {
    Ranking ranking(settings);
    for (std::uint32_t i = 0; i < rows.size(); ++i) {
        ranking.add(i, rows[i]);
    }
    ranking.compute(threads);
    for (std::uint32_t i = 0; i < rows.size(); ++i) {
        ranking.fill(i, rows[i]);
    }
    return rows;
}

// method.md 8.2 by hand: gain 0.005 of 0.01 L/s, gravity 0.6, reliability 0.9; no reach and no prices, so that the
// weights 0.35, 0.20 and 0.10 stand alone.
TEST(Ranking, AScoreIsWorkedOutByHand) {
    const ParcelRow row = ranked({parcel("A", 0.005, 0.6)}).at(0);
    EXPECT_NEAR(row.score.value(), (0.35 * 0.5 + 0.20 * 0.6 + 0.10 * 0.9) / 0.65, 1e-12);
    EXPECT_NEAR(row.score_stream_gain.value(), 0.5, 1e-12);
    EXPECT_EQ(row.score_low_flow_share, std::nullopt);
    EXPECT_EQ(row.score_cost, std::nullopt);
    EXPECT_FALSE(row.flags.has(Flag::score_partial));  // nobody has more
    EXPECT_EQ(row.rank, 1);
    EXPECT_EQ(row.pareto_tier, 1);
    EXPECT_EQ(row.rank_stability, 1.0);  // alone among the first 25 in every draw
}

TEST(Ranking, OnlyThoseWhoMayBeAskedAreRanked) {
    std::vector<ParcelRow> rows;
    for (const auto& term : terms_of<ContactStatus>()) {
        rows.push_back(parcel(std::string(term.name), 0.005, 0.6));
        rows.back().contact_status = from_text<ContactStatus>(std::string(term.name)).value();
        rows.back().score = 0.7;  // from an earlier ranking
    }
    std::string asked;
    for (const ParcelRow& row : ranked(rows)) {
        asked += row.rank ? row.parcel_id + " " : "";
        EXPECT_EQ(row.rank.has_value(), row.score.has_value());
    }
    EXPECT_EQ(asked, "candidate contacted interested visit_booked visited ");
}

TEST(Ranking, OnlyWhatHasAPlaceAndAddsSomethingIsRanked) {
    ParcelRow adds_nothing = parcel("B", 0.009, 1.0);
    adds_nothing.added_forbearance_m3 = 0.0;  // what is there already does as much
    ParcelRow no_pad = parcel("C", 0.009, 1.0);
    no_pad.delivery = Delivery::no_pad;
    ParcelRow no_use = parcel("D", 0.0, 1.0);
    no_use.delivery = Delivery::no_use;
    no_use.added_forbearance_m3.reset();
    const auto rows = ranked({parcel("A", 0.005, 0.6), adds_nothing, no_pad, no_use, ParcelRow{}});
    EXPECT_EQ(rows[0].rank, 1);
    for (std::size_t i = 1; i < rows.size(); ++i) {
        EXPECT_EQ(rows[i].rank, std::nullopt);
        EXPECT_EQ(rows[i].score, std::nullopt);
        EXPECT_FALSE(rows[i].flags.has(Flag::score_partial));
    }
}

// What others have and it lacks is missed; what nobody has is told once for all.
TEST(Ranking, AScoreIsPartialWhereOthersHaveMore) {
    ParcelRow priced = parcel("A", 0.005, 0.6);
    priced.cost = 1200.0;
    priced.cost_per_m3 = 30.0;
    ParcelRow declined = priced;
    declined.parcel_id = "C";
    declined.contact_status = ContactStatus::declined;
    const auto rows = ranked({priced, parcel("B", 0.005, 0.6)});
    EXPECT_FALSE(rows[0].flags.has(Flag::score_partial));
    EXPECT_TRUE(rows[1].flags.has(Flag::score_partial));
    EXPECT_FALSE(ranked({declined, parcel("B", 0.005, 0.6)})[1].flags.has(Flag::score_partial));

    const Settings settings;
    Ranking ranking(settings);
    ranking.compute(1);
    EXPECT_TRUE(ranking.components_without_data().empty());  // nor any candidate
    Ranking two(settings);
    two.add(0, priced);
    two.add(1, parcel("B", 0.005, 0.6));
    two.compute(1);
    EXPECT_EQ(two.components_without_data(), std::vector<std::string_view>{"low_flow_share"});
}

// The score asks what is added, not what is replaced.
TEST(Ranking, WhatIsThereAlreadyEarnsNothing) {
    ParcelRow row = parcel("A", 0.008, 0.6);
    row.added_gain_lps = 0.002;
    EXPECT_NEAR(ranked({row}).at(0).score_stream_gain.value(), 0.2, 1e-12);
}

TEST(Ranking, EqualScoresGoByParcelId) {
    const auto rows = ranked({parcel("b", 0.005, 0.6), parcel("B", 0.005, 0.6), parcel("a", 0.005, 0.6)});
    EXPECT_EQ(rows[1].rank, 1);
    EXPECT_EQ(rows[2].rank, 2);
    EXPECT_EQ(rows[0].rank, 3);
}

TEST(Ranking, ThreadsAndOrderChangeNothing) {
    std::vector<ParcelRow> rows;
    for (int i = 0; i < 60; ++i) {
        rows.push_back(parcel("P" + std::to_string(100 + i), 0.0002 * i, (i * 37 % 60) / 60.0));
    }
    Settings settings;
    settings.rank.draws = 100;
    settings.rank.top = 10;
    const auto one = ranked(rows, settings, 1);
    const auto three = ranked(rows, settings, 3);
    std::vector<Value> a;
    std::vector<Value> b;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        values_of(one[i], a);
        values_of(three[i], b);
        EXPECT_EQ(a, b);
    }
    std::vector<ParcelRow> reversed(rows.rbegin(), rows.rend());
    reversed = ranked(reversed, settings, 1);
    for (std::size_t i = 0; i < rows.size(); ++i) {
        EXPECT_EQ(reversed[rows.size() - 1 - i].rank, one[i].rank);
        EXPECT_EQ(reversed[rows.size() - 1 - i].rank_stability, one[i].rank_stability);
    }
}

TEST(Ranking, WithoutDrawsThereIsNoStability) {
    Settings settings;
    settings.rank.draws = 0;
    EXPECT_EQ(ranked({parcel("A", 0.005, 0.6)}, settings).at(0).rank_stability, std::nullopt);
}

ScenarioRow scenario(const std::string& name, double forbearance_m3, double gain_lps, double reliability) {
    ScenarioRow row;
    row.scenario = name;
    row.forbearance_m3 = forbearance_m3;
    row.added_forbearance_m3 = forbearance_m3;
    row.instream_gain_lps = gain_lps;
    row.added_gain_lps = gain_lps;
    row.season_reliability = reliability;
    row.harvest_mean_m3 = 70.0;
    row.harvest_dependable_m3 = forbearance_m3 + 1.0;
    row.demand_m3 = 50.0;
    return row;
}

TEST(RankedRow, IsTheScenarioThatTheSettingNames) {
    ParcelRow row = parcel("A", 0.005, 0.6);
    row.cost = 1200.0;
    row.added_forbearance_m3 = 34.0;
    row.cost_per_m3 = 1200.0 / 34.0;
    std::vector<ScenarioRow> own{scenario("dry", 30.0, 0.003, 0.5), scenario("wet", 48.0, 0.006, 1.0)};
    own[1].added_forbearance_m3 = 42.0;  // what is there already replaces 6 m3 by itself
    own[1].added_gain_lps = 0.003;
    const ParcelRow now = ranked_row(row, own, "now");
    EXPECT_EQ(now.forbearance_m3, 40.0);
    EXPECT_EQ(now.cost_per_m3, 1200.0 / 34.0);
    EXPECT_EQ(now.rank_scenario, "now");
    const ParcelRow wet = ranked_row(row, own, "wet");
    EXPECT_EQ(wet.forbearance_m3, 48.0);
    EXPECT_EQ(wet.instream_gain_lps, 0.006);
    EXPECT_EQ(wet.added_forbearance_m3, 42.0);
    EXPECT_EQ(wet.added_gain_lps, 0.003);
    EXPECT_EQ(wet.season_reliability, 1.0);
    EXPECT_EQ(wet.cost_per_m3, 1200.0 / 42.0);
    EXPECT_EQ(wet.demand_m3, 50.0);
    EXPECT_EQ(wet.cost, 1200.0);  // the storage is the same
    EXPECT_EQ(wet.gravity_probability, row.gravity_probability);
    EXPECT_FALSE(ranked_row(row, {}, "wet").forbearance_m3);
    EXPECT_FALSE(is_candidate(ranked_row(row, {}, "wet")));
}

TEST(RankedRow, OfTheWorstIsTheLeastOfNowAndAll) {
    const ParcelRow row = parcel("A", 0.005, 0.6);
    const auto worst = [&](const std::vector<ScenarioRow>& own) {
        return ranked_row(row, own, "worst").rank_scenario.value();
    };
    EXPECT_EQ(worst({scenario("dry", 30.0, 0.003, 0.5), scenario("drier", 20.0, 0.002, 0.4)}), "drier");
    EXPECT_EQ(worst({scenario("wet", 48.0, 0.006, 1.0)}), "now");
    EXPECT_EQ(worst({scenario("same", 40.0, 0.006, 1.0)}), "now");  // equal ones: the first
    EXPECT_EQ(worst({scenario("dry", 30.0, 0.003, 0.5), scenario("too", 30.0, 0.003, 0.5)}), "dry");
    EXPECT_EQ(worst({}), "now");
}

TEST(Ranking, ByTheWorstScenarioTurnsAnOrderRound) {
    // A gains more now, B keeps more of it in a dry climate; C replaces nothing then.
    const std::vector<ParcelRow> rows{parcel("A", 0.008, 0.6), parcel("B", 0.007, 0.6), parcel("C", 0.009, 0.6)};
    const std::vector<std::vector<ScenarioRow>> own{
        {scenario("dry", 10.0, 0.002, 0.2)}, {scenario("dry", 39.0, 0.0068, 0.9)}, {scenario("dry", 0.0, 0.0, 0.0)}};
    const auto ranks = [&](const std::string& by) {
        Settings settings;
        settings.rank.scenario = by;
        settings.rank.draws = 50;
        settings.rank.top = 1;
        Ranking ranking(settings);
        std::vector<ParcelRow> found = rows;
        for (std::uint32_t i = 0; i < rows.size(); ++i) {
            ranking.add(i, rows[i], own[i]);
        }
        ranking.compute(1);
        for (std::uint32_t i = 0; i < rows.size(); ++i) {
            ranking.fill(i, found[i]);
        }
        return found;
    };
    const auto now = ranks("now");
    EXPECT_EQ(now[2].rank, 1);
    EXPECT_EQ(now[0].rank, 2);
    EXPECT_EQ(now[0].rank_scenario, "now");
    for (const char* const by : {"worst", "dry"}) {
        const auto found = ranks(by);
        EXPECT_EQ(found[1].rank, 1);
        EXPECT_EQ(found[0].rank, 2);
        EXPECT_EQ(found[2].rank, std::nullopt);
        EXPECT_EQ(found[2].rank_scenario, std::nullopt);
        EXPECT_EQ(found[1].rank_scenario, "dry");
        EXPECT_NEAR(found[1].score_stream_gain.value(), 0.68, 1e-12);
        EXPECT_EQ(found[1].forbearance_m3, 40.0);  // the row itself stays as screened
        // The draws begin at the volumes of the scenario: there A is hardly ever before B.
        EXPECT_GT(found[1].rank_stability.value(), 0.9);
    }
    EXPECT_LT(now[1].rank_stability.value(), 0.9);
}

TEST(Questions, SayWhatIsAtStake) {
    EXPECT_EQ(questions_text({}, OutputUnits::si), std::nullopt);
    QuestionToAsk question;
    question.question = Question::water_source;
    question.low = {.forbearance_m3 = 40.0, .stream_gain_lps = 0.0, .gravity_check = GravityCheck::yes};
    question.high = {.forbearance_m3 = 40.0, .stream_gain_lps = 0.005, .gravity_check = GravityCheck::yes};
    EXPECT_EQ(
        questions_text({question}, OutputUnits::si),
        "Ask where the summer water comes from: the gain is 0.0 L/s if the town mains, 0.00500 L/s if the creek.");
    // 0.005 L/s x 15.8503 gpm a L/s (NIST Handbook 44, appendix C: 3.785411784 L a gallon).
    EXPECT_EQ(questions_text({question}, OutputUnits::us),
              "Ask where the summer water comes from: the gain is 0.0 gpm if the town mains, 0.0793 gpm if the creek.");
}

TEST(Questions, ArePutToTheOwnerToo) {
    std::vector<QuestionToAsk> questions;
    for (std::size_t i = 0; i < kQuestions; ++i) {
        QuestionToAsk& question = questions.emplace_back();
        question.question = static_cast<Question>(i);
        question.low = {.forbearance_m3 = 20.0, .stream_gain_lps = 0.001, .gravity_check = GravityCheck::no};
        question.high = {.forbearance_m3 = 40.0, .stream_gain_lps = 0.002, .gravity_check = GravityCheck::cannot_tell};
    }
    const auto worded = worded_questions(questions, OutputUnits::si);
    const auto to_owner = questions_to_owner(questions_text(questions, OutputUnits::si).value());
    ASSERT_EQ(worded.size(), kQuestions);
    ASSERT_EQ(to_owner.size(), kQuestions);
    for (std::size_t i = 0; i < kQuestions; ++i) {
        EXPECT_EQ(to_owner[i], worded[i].to_owner);
        EXPECT_TRUE(to_owner[i].ends_with('?'));
        EXPECT_NE(worded[i].stakes.find("the tank replaces 20.0 m3"), std::string::npos) << worded[i].stakes;
        EXPECT_NE(worded[i].stakes.find("it takes a pump"), std::string::npos) << worded[i].stakes;
    }
    EXPECT_EQ(questions_to_owner("Something else."), std::vector<std::string>{"Something else."});
    EXPECT_TRUE(questions_to_owner("").empty());
}

TEST(Questions, WhatChangesNothingAsPrintedIsNotAsked) {
    QuestionToAsk question;
    question.question = Question::people_and_garden;
    question.low = {.forbearance_m3 = 40.01, .stream_gain_lps = 0.005, .gravity_check = GravityCheck::yes};
    question.high = {.forbearance_m3 = 40.02, .stream_gain_lps = 0.005, .gravity_check = GravityCheck::yes};
    EXPECT_EQ(questions_text({question}, OutputUnits::si), std::nullopt);
}

}  // namespace
}  // namespace eaveshed
