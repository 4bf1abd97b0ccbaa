// method.md 8.9, 8.10: what to ask first.
#include "eaveshed/rank/questions.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <string>

#include "eaveshed/rank/stability.hpp"

namespace eaveshed {
namespace {

// 90 % quantile of the standard normal distribution.
constexpr double kNineInTen = 1.2815515655446004;

std::vector<Question> asked(const std::vector<QuestionToAsk>& questions) {
    std::vector<Question> names;
    for (const QuestionToAsk& question : questions) {
        names.push_back(question.question);
    }
    return names;
}

const AssumedInput kSource{Question::water_source, {15.0, 0.0, GravityCheck::yes}, {15.0, 0.0019, GravityCheck::yes}};
const AssumedInput kPeople{Question::people_and_garden, {10.0, 0.0, GravityCheck::yes}, {16.0, 0.0, GravityCheck::yes}};
const AssumedInput kEave{Question::eave_height, {15.0, 0.0, GravityCheck::no}, {15.0, 0.0, GravityCheck::yes}};
const AssumedInput kUsePoint{
    Question::use_point, {15.0, 0.0, GravityCheck::cannot_tell}, {15.0, 0.0, GravityCheck::yes}};
const AssumedInput kMaterial{Question::material, {14.0, 0.0, GravityCheck::yes}, {15.0, 0.0, GravityCheck::yes}};
const AssumedInput kConnected{
    Question::connected_share, {15.0, 0.0, GravityCheck::yes}, {15.0, 0.0, GravityCheck::yes}};

TEST(PossibleChange, IsTheShareOfTheBenefitAtStakeAndHalfTheStepInGravity) {
    EXPECT_DOUBLE_EQ(possible_change(kSource.low, kSource.high), 1.0);
    EXPECT_DOUBLE_EQ(possible_change(kPeople.low, kPeople.high), 6.0 / 16.0);
    EXPECT_DOUBLE_EQ(possible_change(kEave.low, kEave.high), 0.5);
    EXPECT_DOUBLE_EQ(possible_change(kUsePoint.low, kUsePoint.high), 0.25);
    EXPECT_DOUBLE_EQ(possible_change(kConnected.low, kConnected.high), 0.0);
    EXPECT_DOUBLE_EQ(possible_change({0.0, 0.0}, {20.0, 0.002, GravityCheck::yes}), 1.5);
    EXPECT_DOUBLE_EQ(possible_change({20.0, 0.002}, {20.0, 0.002, GravityCheck::no}), 0.0);
}

TEST(PossibleChange, DoesNotAskWhichValueIsTheGreater) {
    for (const AssumedInput& input : {kSource, kPeople, kEave, kUsePoint, kMaterial}) {
        EXPECT_EQ(possible_change(input.low, input.high), possible_change(input.high, input.low));
    }
}

TEST(AskFirst, NamesTheThreeQuestionsThatCouldChangeMost) {
    const std::vector<AssumedInput> assumed{kConnected, kMaterial, kUsePoint, kEave, kPeople, kSource};
    const std::vector<QuestionToAsk> questions = ask_first(assumed);
    EXPECT_EQ(asked(questions),
              (std::vector{Question::water_source, Question::eave_height, Question::people_and_garden}));
    EXPECT_EQ(questions[2].low.forbearance_m3, 10.0);
    EXPECT_EQ(questions[2].high.forbearance_m3, 16.0);
}

TEST(AskFirst, LeavesOutWhatCouldChangeNothingAndWhatIsKnown) {
    EXPECT_EQ(asked(ask_first(std::vector{kConnected, kMaterial})), std::vector{Question::material});
    EXPECT_TRUE(ask_first(std::vector<AssumedInput>{}).empty());
}

TEST(AskFirst, DoesNotDependOnTheOrderGivenEvenInTies) {
    AssumedInput tied = kEave;
    tied.question = Question::use_point;
    std::vector<AssumedInput> assumed{tied, kEave, kMaterial};
    const auto expected = std::vector{Question::eave_height, Question::use_point, Question::material};
    EXPECT_EQ(asked(ask_first(assumed)), expected);
    std::reverse(assumed.begin(), assumed.end());
    EXPECT_EQ(asked(ask_first(assumed)), expected);
}

TEST(QuestionWords, AreQuestionsInPlainWordsWithALowAndAHighValue) {
    std::set<std::string_view> names;
    for (const QuestionWords& words : question_words()) {
        names.insert(words.name);
        EXPECT_EQ(words.ask.back(), '?') << words.name;
        EXPECT_LE(words.ask.size(), 100U) << words.name;
        EXPECT_FALSE(words.varied.empty());
        EXPECT_LT(words.low, words.high) << words.name;
    }
    EXPECT_EQ(names.size(), kQuestions);
    EXPECT_EQ(words_of(Question::use_point).name, "use_point");
}

// Derived: 10 % and 90 % of the spreads that the rank stability draws from.
TEST(QuestionWords, VaryByTheQuantilesOfTheKnownSpreads) {
    EXPECT_NEAR(words_of(Question::people_and_garden).low, std::exp(-kNineInTen * kDemandLogSd), 5e-4);
    EXPECT_NEAR(words_of(Question::people_and_garden).high, std::exp(kNineInTen * kDemandLogSd), 5e-4);
    EXPECT_NEAR(words_of(Question::eave_height).low, -kNineInTen, 5e-4);
    EXPECT_NEAR(words_of(Question::eave_height).high, kNineInTen, 5e-4);
}

}  // namespace
}  // namespace eaveshed
