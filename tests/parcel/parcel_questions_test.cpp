#include "eaveshed/parcel/parcel_questions.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "eaveshed/tile/evaluate.hpp"
#include "site/tile_samples.hpp"

namespace eaveshed {
namespace {

// The questions that the tile puts beside a parcel's row. November rains, so that dry winters are known.
class ParcelQuestions : public ::testing::Test {
protected:
    ParcelQuestions()
        : m_settings(two_options()),
          m_climate(november_rains(m_settings,
                                   {90.0, 120.0, 60.0, 150.0, 200.0, 75.0, 110.0, 95.0, 130.0, 170.0, 85.0, 140.0})) {
        m_parcel.outline = testing::rectangle(40.0, 60.0, 120.0, 90.0);
        m_parcel.facts.set_use_point(Point{60.0, 100.0});
        m_settings.siting.minimum_kpa = 1.0;
    }
    std::vector<QuestionToAsk> questions() const {
        const TileRows rows = evaluate_tile(tile_with({{m_parcel, {m_roof}}}, m_climate), m_settings);
        return rows.parcels.at(0).questions;
    }
    static bool asks(const std::vector<QuestionToAsk>& questions, Question question) {
        return std::ranges::any_of(questions, [&](const QuestionToAsk& asked) { return asked.question == question; });
    }
    static const QuestionToAsk& the(const std::vector<QuestionToAsk>& questions, Question question) {
        return *std::ranges::find(questions, question, &QuestionToAsk::question);
    }

    Settings m_settings;
    RoofClimate m_climate;
    TileParcel m_parcel = parcel_with_measured_use();
    TileRoof m_roof = roof_at(100, 100);
};

TEST_F(ParcelQuestions, NothingIsAskedWhereEverythingIsKnown) {
    EXPECT_TRUE(questions().empty());
}

TEST_F(ParcelQuestions, AnUnknownSourceIsAskedAboutAndDecidesTheStreamsGainAlone) {
    m_parcel.facts.water_source.reset();
    const auto asked = questions();
    ASSERT_TRUE(asks(asked, Question::water_source));
    const QuestionToAsk& source = the(asked, Question::water_source);
    EXPECT_EQ(source.low.stream_gain_lps, 0.0);
    EXPECT_GT(source.high.stream_gain_lps, 0.0);
    EXPECT_EQ(source.low.forbearance_m3, source.high.forbearance_m3);
}

TEST_F(ParcelQuestions, AnUnknownMaterialIsVariedByTheRainThatRunsOff) {
    m_settings.tanks.resize(1);  // four tanks: the roof is what limits
    m_parcel.facts.season_use_m3 = 60.0;
    EXPECT_FALSE(asks(questions(), Question::material));
    m_roof.facts.material.reset();
    const auto asked = questions();
    ASSERT_TRUE(asks(asked, Question::material));
    const QuestionToAsk& material = the(asked, Question::material);
    EXPECT_LT(material.low.forbearance_m3, material.high.forbearance_m3);
}

TEST_F(ParcelQuestions, AnAssumedEaveIsVariedByItsDeviationAndMovesTheGravityCheckAlone) {
    m_roof.facts.eave_height_m.reset();
    m_settings.siting.default_eave_height_m = 3.0;
    const auto asked = questions();
    for (const QuestionToAsk& question : asked) {
        if (question.question == Question::eave_height) {
            EXPECT_EQ(question.low.forbearance_m3, question.high.forbearance_m3);
            EXPECT_NE(question.low.gravity_check, question.high.gravity_check);
        }
    }
}

TEST_F(ParcelQuestions, AtMostThreeAreAskedTheMostTellingFirst) {
    m_parcel.facts = {};
    m_parcel.facts.set_use_point(Point{60.0, 100.0});
    m_roof.facts = {};
    const auto asked = questions();
    EXPECT_LE(asked.size(), 3U);
    EXPECT_GT(asked.size(), 1U);
    EXPECT_TRUE(std::ranges::is_sorted(asked, std::ranges::greater(), &QuestionToAsk::change));
}

}  // namespace
}  // namespace eaveshed
