#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string_view>

#include "eaveshed/ranking/ranking.hpp"
#include "eaveshed/record/ask_first.hpp"
#include "eaveshed/record/quantity_text.hpp"

namespace eaveshed {

namespace {

// How a question reads in a list, by Question: what to ask, how it is put to those who live there, and what the low and
// the high value stand for.
struct QuestionPhrase {
    std::string_view ask;
    std::string_view to_owner;
    std::string_view if_low;
    std::string_view if_high;
};
constexpr std::array<QuestionPhrase, kQuestions> kPhrases{{
    {"where the summer water comes from", "Where does your summer water come from: creek, spring, well or mains?",
     "if the town mains", "if the creek"},
    {"how many people live there in summer and how big the watered garden is",
     "How many people live here in summer, and how big is the garden that is watered?", "if few and small",
     "if many and big"},
    {"how high the lowest gutter of the biggest roof is",
     "How high above the ground is the lowest gutter of the biggest roof?", "if lower than assumed", "if higher"},
    {"where most of the water is used", "Where is most of the water used: uphill or downhill of the house?",
     "if downhill", "if uphill"},
    {"what the roof is covered with", "What is the roof covered with?", "if gravel", "if metal"},
    {"how much of the roof has gutters that lead to downspouts",
     "How much of the roof has gutters that lead to downspouts?", "if half", "if all of it"},
}};

std::string_view pump_text(const std::optional<GravityCheck>& check) {
    if (!check || *check == GravityCheck::no) {
        return "a pump";
    }
    return *check == GravityCheck::yes ? "no pump" : "perhaps a pump";
}

std::string flow_text(const QuantityText& units, double flow_lps) {
    constexpr int kFigures = 3;
    const double shown = units.shown("L/s", flow_lps);
    return fmt::format("{} {}", shown == 0.0 ? "0.0" : with_figures(shown, kFigures), units.unit("L/s"));
}

// "the gain is 0.0 L/s if the town mains, 0.412 L/s if the creek": only the figures that differ; empty where none does
// as it is printed: then the answer changes nothing worth a question.
std::string stakes_of(const QuestionToAsk& question, const QuantityText& units) {
    const QuestionPhrase& phrase = kPhrases.at(static_cast<std::size_t>(question.question));
    const ParcelOutcome& low = question.low;
    const ParcelOutcome& high = question.high;
    std::string stakes;
    const auto add = [&](std::string_view what, std::string_view at_low, std::string_view at_high) {
        if (at_low != at_high) {
            stakes += fmt::format("{}{} {} {}, {} {}", stakes.empty() ? "" : "; ", what, at_low, phrase.if_low, at_high,
                                  phrase.if_high);
        }
    };
    add("the gain is", flow_text(units, low.stream_gain_lps), flow_text(units, high.stream_gain_lps));
    add("the tank replaces", units.text("m3", low.forbearance_m3), units.text("m3", high.forbearance_m3));
    add("it takes", pump_text(low.gravity_check), pump_text(high.gravity_check));
    return stakes;
}

}  // namespace

std::vector<WordedQuestion> worded_questions(const std::vector<QuestionToAsk>& questions, OutputUnits units) {
    const QuantityText shown(units);
    std::vector<WordedQuestion> worded;
    for (const QuestionToAsk& question : questions) {
        if (std::string stakes = stakes_of(question, shown); !stakes.empty()) {
            const QuestionPhrase& phrase = kPhrases.at(static_cast<std::size_t>(question.question));
            worded.push_back({question.question, phrase.ask, phrase.to_owner, std::move(stakes)});
        }
    }
    return worded;
}

std::vector<std::string> questions_to_owner(std::string_view text) {
    std::vector<std::string> questions;
    for (const std::string_view question : questions_in(text)) {
        const auto* const phrase = std::ranges::find(kPhrases, subject_of(question), &QuestionPhrase::ask);
        questions.emplace_back(phrase == kPhrases.end() ? question : phrase->to_owner);
    }
    return questions;
}

std::optional<std::string> questions_text(const std::vector<QuestionToAsk>& questions, OutputUnits units) {
    std::string text;
    for (const WordedQuestion& next : worded_questions(questions, units)) {
        text += fmt::format("{}{}{}: {}.", text.empty() ? "" : " ", kAsk, next.ask, next.stakes);
    }
    return text.empty() ? std::nullopt : std::optional(text);
}

}  // namespace eaveshed
