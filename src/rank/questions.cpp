#include "eaveshed/rank/questions.hpp"

#include <algorithm>
#include <cmath>

namespace eaveshed {

namespace {

constexpr std::array<QuestionWords, kQuestions> kWords{{
    {"water_source", "Where does your summer garden water come from: the creek, a well, or the town mains?",
     "share of the summer take that the creek feels", 0.0, 1.0},
    {"people_and_garden", "How many people live there in summer, and how big is the part of the garden you water?",
     "factor on the season's demand (10 % and 90 % of a lognormal spread of 0.30)", 0.681, 1.469},
    {"eave_height", "How high above the ground is the lowest gutter of your biggest roof?",
     "standard deviations added to the eave's height (10 % and 90 %)", -1.282, 1.282},
    {"use_point", "Where do you use most of the water: uphill of the house, level with it, or downhill?",
     "percentile of the garden's elevation", 10.0, 90.0},
    {"material", "What is your roof covered with: metal, shingles, tiles, or gravel on a flat roof?",
     "runoff coefficient (flat gravel and metal)", 0.62, 0.92},
    {"connected_share", "How much of your roof has gutters that lead to downspouts: about half, most of it, or all?",
     "share of the roof that drains to downspouts", 0.5, 1.0},
}};

double relative_change(double a, double b) {
    const double greater = std::max(a, b);
    return greater > 0.0 ? std::abs(a - b) / greater : 0.0;
}

double gravity_step(const std::optional<GravityCheck>& check) {
    if (!check || *check == GravityCheck::no) {
        return 0.0;
    }
    return *check == GravityCheck::yes ? 1.0 : 0.5;
}

}  // namespace

const std::array<QuestionWords, kQuestions>& question_words() {
    return kWords;
}

const QuestionWords& words_of(Question question) {
    return kWords.at(static_cast<std::size_t>(question));
}

double possible_change(const ParcelOutcome& low, const ParcelOutcome& high) {
    const double water = std::max(relative_change(low.forbearance_m3, high.forbearance_m3),
                                  relative_change(low.stream_gain_lps, high.stream_gain_lps));
    return water + kGravityWorth * std::abs(gravity_step(low.gravity_check) - gravity_step(high.gravity_check));
}

std::vector<QuestionToAsk> ask_first(std::span<const AssumedInput> assumed, std::size_t count) {
    std::vector<QuestionToAsk> questions;
    for (const AssumedInput& input : assumed) {
        const double change = possible_change(input.low, input.high);
        if (change > 0.0) {
            questions.push_back({input.question, change, input.low, input.high});
        }
    }
    std::sort(questions.begin(), questions.end(), [](const QuestionToAsk& a, const QuestionToAsk& b) {
        return a.change != b.change ? a.change > b.change : a.question < b.question;
    });
    questions.resize(std::min(count, questions.size()));
    return questions;
}

}  // namespace eaveshed
